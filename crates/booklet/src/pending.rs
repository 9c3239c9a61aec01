//! (Until cutting and its drawing are there.)
use picture::Drawing;
use quilt::cutting::ClothCutting;
use quilt::plan::{ClothId, Plan};
use quilt::results::Blocks;
use quilt::setting::PlacedBlock;

pub(crate) struct Step { pub(crate) text: String }
pub(crate) fn steps(_: &Plan, _: &Blocks, _: &ClothCutting) -> Vec<Step> { vec![] }
pub(crate) fn cloth_layout(_: &Plan, _: &Blocks, _: &ClothCutting) -> Drawing { Drawing::new("layout", 40.0, 30.0) }
pub(crate) fn cloth_of(plan: &Plan, placed: &PlacedBlock, place: usize, patch: usize) -> ClothId {
    let block = plan.block(placed.block);
    let cloths = placed.colourway.and_then(|c| block.colourways[c].places.iter().find(|(p, _)| *p == place)).map_or(&block.places[place].cloths, |(_, c)| c);
    cloths[(placed.copy as usize + patch) % cloths.len()]
}
