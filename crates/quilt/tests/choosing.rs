//! Cloth chosen for whole plans: sorted by value, scattered from pools.

use std::collections::BTreeMap;

use quilt::cloth::{Lies, contacts};
use quilt::plan::{ClothId, Edit, Plan, Value};
use quilt::results::{Results, work_out};
use quilt::setting::cloth_of;

/// Sixteen blocks of four patches; the light patches come from one pool, the dark ones
/// from another.
const SCRAPS: &str = r##"
piecewright = 1
title = "Orchard scraps"

[cloth.oat]
colour = "#e9dec4"
[cloth.wheat]
colour = "#e4d2a2"
[cloth.linen]
colour = "#f1ead9"
[cloth.bark]
colour = "#47312a"
tags = ["log"]
[cloth.damson]
colour = "#4a2638"
tags = ["log"]
[cloth.hedge]
colour = "#3f6053"
tags = ["log"]
[cloth.russet]
colour = "#a5301f"

[pool.lights]
value = "light"
pins = [{ row = 1, column = 1, patch = 2, cloth = "wheat" }]

[pool.darks]
tag = "log"
each = "block"
counts = { bark = 9 }
seed = 5

[block.Row]
size = "8"
draft = "grid"
cells = ["L D", "D L"]
[block.Row.places]
L = { pool = "lights" }
D = { pool = "darks" }

[setting]
kind = "straight"
rows = 4
columns = 5
cells = ["R"]
[setting.key]
R = "Row"

[[border]]
width = "2"
cloth = "russet"
"##;

fn plan(text: &str) -> Plan {
    planfile::read("scraps", text).unwrap_or_else(|troubles| panic!("{troubles:?}"))
}

/// How often each cloth lies in the blocks of the top.
fn counted(plan: &Plan, results: &Results) -> BTreeMap<ClothId, usize> {
    let mut counts = BTreeMap::new();
    for placed in &results.top.as_ref().unwrap().blocks {
        let block = results.blocks[placed.block.0].as_ref().unwrap();
        for (index, patch) in block.patches.iter().enumerate() {
            let cloth = cloth_of(plan, placed, patch.place.unwrap(), index);
            *counts.entry(cloth).or_default() += 1;
        }
    }
    counts
}

#[test]
fn pools_fill_the_top_and_everything_follows() {
    let plan = plan(SCRAPS);
    let results = work_out(&plan, None);
    let counts = counted(&plan, &results);
    // 40 light patches in three cloths; 20 blocks in three dark ones, nine of them bark.
    let lights: Vec<usize> = (0..3).map(|cloth| counts[&ClothId(cloth)]).collect();
    assert_eq!(lights.iter().sum::<usize>(), 40);
    assert!(lights.iter().all(|&count| count == 13 || count == 14), "{lights:?}");
    assert_eq!(counts[&ClothId(3)], 18);
    assert_eq!(counts[&ClothId(4)] + counts[&ClothId(5)], 22);
    let [lights, darks] = results.scattered.as_slice() else {
        panic!("two pools");
    };
    assert_eq!((lights.spots, darks.spots), (40, 20));
    for pool in [lights, darks] {
        assert_eq!((pool.touching, pool.unavoidable), (0, 0));
        assert!(pool.crowd < pool.blindly, "{pool:?}");
        for lot in &pool.cloths {
            assert!(lot.nearest.unwrap() <= lot.at_most.unwrap() + 1e-9, "{lot:?}");
        }
    }
    assert_eq!(darks.cloths[0].wanted, Some(9));
    // The pin: the second of the block's patches that the pool fills.
    let top = results.top.as_ref().unwrap();
    let block = results.blocks[0].as_ref().unwrap();
    let of_pool = |place: usize| (0..4).filter(move |&i| block.patches[i].place == Some(place));
    assert_eq!(top.blocks[0].scraps[&of_pool(0).nth(1).unwrap()], ClothId(1));
    // The cutting cuts what lies in the top.
    for cut in results.cutting.as_ref().unwrap().iter() {
        let patches: u32 = cut
            .demands
            .iter()
            .flat_map(|demand| &demand.serves)
            .filter(|served| matches!(served.usage, quilt::cutting::Use::Patch(..)))
            .map(|served| served.count)
            .sum();
        let wanted = counts.get(&cut.cloth).copied().unwrap_or(0);
        assert_eq!(patches as usize, wanted, "{:?}", cut.cloth);
    }
}

#[test]
fn another_seed_is_another_top_and_the_same_seed_the_same() {
    let first = plan(SCRAPS);
    let again = work_out(&first, None);
    let before = work_out(&first, None);
    assert_eq!(before.top, again.top);
    let other = plan(&SCRAPS.replace("seed = 5", "seed = 6"));
    let after = work_out(&other, Some(&before));
    assert_ne!(before.top, after.top);
    assert_eq!(counted(&first, &before).values().sum::<usize>(), 80);
    // Nothing changed, nothing worked anew.
    let kept = work_out(&first, Some(&before));
    assert!(std::sync::Arc::ptr_eq(before.top.as_ref().unwrap(), kept.top.as_ref().unwrap()));
}

#[test]
fn a_pool_by_value_follows_the_makers_word() {
    let plan = plan(SCRAPS);
    let mut russet = plan.cloths[6].clone();
    russet.value = Some(Value::Light);
    let changed = plan.with(&Edit::SetCloth(ClothId(6), russet)).unwrap();
    assert_eq!(changed.blocks[0].places[0].cloths.len(), 4);
    let results = work_out(&changed, None);
    assert_eq!(counted(&changed, &results)[&ClothId(6)], 10);
    // A place laid by hand leaves the pool.
    let by_hand = Edit::LayCloth {
        block: quilt::plan::BlockId(0),
        place: 0,
        cloths: vec![ClothId(2)],
    };
    let laid = changed.with(&by_hand).unwrap();
    assert!(laid.choosing.pools[0].fills.is_empty());
    assert_eq!(counted(&laid, &work_out(&laid, None))[&ClothId(2)], 40);
}

#[test]
fn counts_that_do_not_fit_are_told_and_met_as_far_as_can_be() {
    let plan = plan(&SCRAPS.replace("bark = 9", "bark = 9, damson = 9, hedge = 9"));
    let results = work_out(&plan, None);
    let short = results.scattered[1].short.unwrap();
    assert_eq!((short.asked, short.spots), (27, 20));
    assert!(results.findings.iter().any(|f| f.text.contains("27") && f.text.contains("darks")));
}

#[test]
fn every_pair_of_neighbours_is_found_once() {
    let plan = plan(SCRAPS);
    let results = work_out(&plan, None);
    let found = contacts(&results.blocks, results.top.as_ref().unwrap());
    let patches = |lies: Lies| matches!(lies, Lies::Patch(..));
    let inner = found.touching.iter().filter(|contact| {
        let [a, b] = contact.pieces;
        patches(found.pieces[a].lies) && patches(found.pieces[b].lies)
    });
    // A grid of 10 × 8 patches, each 4 in.
    let lengths: Vec<f64> = inner.map(|contact| contact.length).collect();
    assert_eq!(lengths.len(), 9 * 8 + 10 * 7);
    assert!(lengths.iter().all(|length| (length - 4.0).abs() < 1e-9));
}
