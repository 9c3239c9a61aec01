//! What it takes to sew a block in straight seams alone.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod support;

#[path = "support/plans.rs"]
mod plans;

use std::sync::Arc;

use geometry::{Arrangement, Polygon, Surd};
use quilt::block::joining::joining;
use quilt::block::{self, Block, Drafted};
use quilt::plan::{BlockPlan, Claim, ClothId, Draft, HexagonParts, PlacePlan};
use quilt::setting;
use quilt::sewing::{self, Straight};
use support::{grid, sized_block, square_block, worked};

fn star(side: i64) -> BlockPlan {
    square_block("star", Surd::int(side), Draft::Star { split: false })
}

/// The block with its repair drawn in.
fn repaired(block: &Block) -> Drafted {
    let repair = block.repair.as_ref().expect("a repair");
    let mut outlines: Vec<Polygon> = Vec::new();
    for (index, patch) in block.patches.iter().enumerate() {
        match repair.parts.iter().find(|(cut, _)| *cut == index) {
            Some((_, parts)) => outlines.extend(parts.iter().cloned()),
            None => outlines.push(patch.outline.clone()),
        }
    }
    assert_eq!(outlines.len(), block.patches.len() + repair.cuts.len());
    Drafted {
        outline: block.drafted.outline.clone(),
        spots: vec![String::new(); outlines.len()],
        arrangement: Arrangement::from_tiles(&block.drafted.outline, &outlines).unwrap(),
    }
}

/// With its setting squares and triangles cut in two an eight-pointed star has no set-in
/// seam; and with fewer cuts it has.
#[test]
fn an_eight_pointed_star_is_mended_by_splitting_what_sets_it() {
    let block = worked(&star(12));
    let repair = block.repair.as_ref().unwrap();
    assert_eq!((repair.cuts.len(), repair.at_least), (8, 8));
    let cut: Vec<usize> = repair.parts.iter().map(|(patch, _)| *patch).collect();
    let setting: Vec<usize> = (0..block.patches.len())
        .filter(|&patch| !block.drafted.spots[patch].starts_with("point"))
        .collect();
    assert_eq!(cut, setting, "{:?}", block.drafted.spots);
    assert!(repair.parts.iter().all(|(_, parts)| parts.len() == 2));
    let found = joining(&repaired(&block));
    assert!(found.obstructions.is_empty() && found.at_least == 0);
    // The same shapes as the draft that is split from the start.
    let split = worked(&square_block(
        "split",
        Surd::int(12),
        Draft::Star { split: true },
    ));
    let mut shapes: Vec<Surd> = split.patches.iter().map(|p| p.outline.area()).collect();
    let mended = repaired(&block).arrangement;
    let mut own: Vec<Surd> = mended.faces.iter().map(|f| f.polygon.area()).collect();
    shapes.sort();
    own.sort();
    assert_eq!(own, shapes);
}

#[test]
fn a_ring_takes_one_seam_and_straight_blocks_none() {
    let framed = worked(&square_block(
        "framed",
        Surd::int(9),
        grid(&["a < b", "d c ^", "^ e <"]),
    ));
    let repair = framed.repair.as_ref().unwrap();
    assert_eq!((repair.cuts.len(), repair.at_least), (1, 1));
    assert!(joining(&repaired(&framed)).obstructions.is_empty());
    let nine = worked(&square_block(
        "nine",
        Surd::int(9),
        grid(&["A B A", "B A B", "A B A"]),
    ));
    assert_eq!(nine.repair, None);
}

/// Whatever was found lets straight seams sew the block, the proved least stands beside it.
#[test]
fn every_repair_that_is_offered_works() {
    let root3 = Surd::root3();
    let mut blocks = vec![star(12)];
    for parts in [
        HexagonParts::Whole,
        HexagonParts::Triangles,
        HexagonParts::Diamonds,
    ] {
        blocks.push(sized_block(
            "hexagon",
            Surd::int(6),
            root3.times(3),
            Draft::Hexagon { parts },
        ));
    }
    let mut seen = 0;
    for plan in blocks {
        let block = worked(&plan);
        let Some(repair) = &block.repair else {
            assert!(block.joining.obstructions.is_empty(), "{}", plan.name);
            continue;
        };
        seen += 1;
        assert!(repair.at_least <= repair.cuts.len() && repair.at_least > 0);
        let found = joining(&repaired(&block));
        assert!(found.obstructions.is_empty(), "{:?}", plan.draft);
    }
    assert!(seen > 0);
}

/// One block in two cloths: what stands on the diamonds and what sets them.
fn priced(copies: u32) -> (Arc<Block>, Straight) {
    let mut block = star(12);
    let spots: Vec<String> = worked(&block).drafted.spots;
    let place = |name: &str, diamonds: bool, cloth| PlacePlan {
        name: name.into(),
        cloths: vec![ClothId(cloth)],
        centred: false,
        claims: spots
            .iter()
            .filter(|spot| spot.starts_with("point") == diamonds)
            .map(|spot| Claim::Spot(spot.clone()))
            .collect(),
    };
    block.places = vec![place("star", true, 0), place("ground", false, 1)];
    let mut plan = plans::plain(Surd::int(12), copies, 1);
    plan.blocks = vec![block];
    let block = Arc::new(block::work_out(&plan.blocks[0], &plan.seam, &plan.ruler).unwrap());
    let top = setting::work_out(&plan, &[block.patches.len()]).unwrap();
    let sewing = sewing::work_out(&plan, &[Some(block.clone())], &top);
    let straight = sewing.blocks[0].straight.clone().unwrap();
    (block, straight)
}

/// A patch cut to its shape with an allowance of s all round covers its area, s times its
/// perimeter, and s² cot(θ/2) at each corner. So a square of side a cut along its diagonal
/// takes 2 s a √2 + s² (2 (1 + 2 cot 22.5°) − 4) more, and a triangle with its long side
/// on the edge, height h, 2 s h + s² (2 (1 + 2 cot 22.5°) − (1 + 2 cot 22.5°)).
#[test]
fn more_patches_are_priced_in_cloth() {
    let (block, straight) = priced(3);
    let seam = 0.25;
    let half = 1.0 + 2.0 / (22.5_f64.to_radians()).tan();
    let mut wanted = 0.0;
    for (patch, _) in &block.repair.as_ref().unwrap().parts {
        let outline = &block.patches[*patch].outline;
        let area = outline.area().to_f64();
        wanted += if outline.points().len() == 4 {
            let diagonal = (2.0 * area).sqrt();
            2.0 * seam * diagonal + seam * seam * (2.0 * half - 4.0)
        } else {
            // A right angle between two equal sides: the area is h².
            2.0 * seam * area.sqrt() + seam * seam * (2.0 * half - half)
        };
    }
    assert!((straight.in_block - wanted).abs() < 1e-9, "{wanted}");
    let [(cloth, in_all)] = straight.in_all[..] else {
        panic!("only the ground is cut: {:?}", straight.in_all);
    };
    assert_eq!(cloth, ClothId(1));
    assert!((in_all - 3.0 * wanted).abs() < 1e-9);
    let said = &straight.in_words;
    assert!(
        said.starts_with("8 seams more make it sew in straight seams alone"),
        "{said}"
    );
    assert!(
        said.contains("no fewer do it") && said.contains("8 patches more"),
        "{said}"
    );
}

/// A drawing with more points than the search can prove: what it found works all the same,
/// and the least it is sure of is told.
#[test]
fn a_hard_block_ends_with_its_bound() {
    // Rings of four side by side, of different widths, so that no two regions look alike.
    let cells = [
        "a < b g < h m < n s < t",
        "d c ^ j i ^ p o ^ v u ^",
        "^ e < ^ k < ^ q < ^ w <",
    ];
    let rows: Vec<String> = (0..4)
        .flat_map(|row| {
            cells.iter().map(move |line| {
                line.split(' ')
                    .map(|word| match word {
                        "<" | "^" => word.to_owned(),
                        other => format!("{other}{row}"),
                    })
                    .collect::<Vec<_>>()
                    .join(" ")
            })
        })
        .collect();
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let block = worked(&square_block("rings", Surd::int(24), grid(&rows)));
    let repair = block.repair.as_ref().unwrap();
    assert!(repair.at_least <= repair.cuts.len());
    assert!(joining(&repaired(&block)).obstructions.is_empty());
}
