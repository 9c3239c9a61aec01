//! What is written reads the same; a change touches only what it must.

use geometry::{Point, Segment, Surd};
use planfile::{read, write, write_change};
use quilt::measure::{Measure, Rounding, Ruler};
use quilt::plan::{
    BlockId, BorderPlan, CellPlan, Claim, ClothId, Colour, Colourway, Corner, CutAlong, Draft,
    Kind, Plan, Print, Repeat, Sashing, Target, Value,
};

const DEMOS: [&str; 5] = [
    include_str!("../../../examples/harbour-lights.toml"),
    include_str!("../../../examples/orchard-at-dusk.toml"),
    include_str!("../../../examples/night-ferry.toml"),
    include_str!("../../../examples/whirligig-pier.toml"),
    include_str!("../../../examples/honeycomb-steps.toml"),
];

/// A plan that uses what the demos do not, with a remark by nearly every field.
const ODD: &str = include_str!("odd.toml");

fn plan(text: &str) -> Plan {
    read("a plan", text)
        .unwrap_or_else(|troubles| panic!("{}", planfile::render("a plan", text, &troubles, false)))
}

fn every_text() -> Vec<&'static str> {
    DEMOS
        .into_iter()
        .chain([ODD, planfile::starter()])
        .collect()
}

#[test]
fn what_is_written_reads_the_same() {
    for text in every_text() {
        let plan = plan(text);
        let written = write(&plan);
        assert_eq!(self::plan(&written), plan, "{written}");
        assert_eq!(write(&plan), written, "the same every time");
    }
}

#[test]
fn no_change_changes_nothing() {
    for text in every_text() {
        let plan = plan(text);
        assert_eq!(write_change(text, &plan, &plan).unwrap(), text);
    }
}

/// A change of plan and how many lines of the file may differ for it.
type Deed = (&'static str, usize, fn(&mut Plan));

fn cell(block: usize, turn: u8) -> CellPlan {
    CellPlan {
        block: BlockId(block),
        colourway: None,
        turn,
        mirrored: false,
    }
}

/// Changes that can be made to every plan.
const ANYWHERE: &[Deed] = &[
    ("title", 1, |p| p.title = "Another “name”".into()),
    ("note", 3, |p| p.note = "Two\nlines".into()),
    ("a note from a form", 3, |p| {
        p.note = "Two\r\nlines \\ \"quoted\"\t'''".into()
    }),
    ("seam", 1, |p| p.seam = Surd::ratio(3, 8)),
    ("ruler", 1, |p| {
        p.ruler = Ruler::new(Surd::ratio(1, 16), p.ruler.rounding).expect("a fraction")
    }),
    ("rounding", 1, |p| {
        let other = if p.ruler.rounding == Rounding::Up {
            Rounding::Nearest
        } else {
            Rounding::Up
        };
        p.ruler.rounding = other;
    }),
    ("rows and columns", 2, |p| {
        p.setting.rows += 1;
        p.setting.columns += 2;
    }),
    ("the repeat", 20, |p| {
        p.setting.cells = Repeat {
            rows: 1,
            columns: 2,
            cells: vec![cell(0, 1), cell(0, 3)],
        };
    }),
    ("one turn", 1, |p| {
        let cell = &mut p.setting.cells.cells[0];
        cell.turn = (cell.turn + 1) % 4;
    }),
    ("a cloth's colour", 2, |p| {
        p.cloths[0].colour = Colour {
            red: 1,
            green: 2,
            blue: 3,
        }
    }),
    ("a cloth's print", 3, |p| p.cloths[0].print = Print::Stripe),
    ("a cloth's width", 1, |p| p.cloths[1].width = Surd::int(44)),
    ("a cloth's value", 1, |p| {
        p.cloths[1].value = Some(Value::Medium)
    }),
    ("a cloth's name", 1, |p| p.cloths[0].name = "Renamed".into()),
    ("a cloth more", 12, |p| {
        let mut cloth = p.cloths[0].clone();
        cloth.key = "one more".into();
        p.cloths.push(cloth);
    }),
    ("a cloth more in the middle", 12, |p| {
        // Everything that named a later cloth now names the one after it.
        let mut cloth = p.cloths[0].clone();
        cloth.key = "between".into();
        p.cloths.push(cloth);
        let last = p.cloths.len() - 1;
        p.cloths.swap(last, last - 1);
        let swap = |id: &mut ClothId| {
            if id.0 >= last - 1 {
                id.0 = last + last - 1 - id.0;
            }
        };
        for_every_cloth(p, swap);
    }),
    ("a cloth's short name", 12, |p| {
        p.cloths[0].key = "quite-new".into()
    }),
    ("another cloth in a place", 1, |p| {
        p.blocks[0].places[0].cloths = vec![ClothId(1)]
    }),
    ("several cloths in a place", 1, |p| {
        p.blocks[0].places[0].cloths = vec![ClothId(1), ClothId(0)];
    }),
    ("a place claims more", 1, |p| {
        p.blocks[0].places[0]
            .claims
            .push(Claim::Spot("odd one".into()));
    }),
    ("a place's name", 4, |p| {
        p.blocks[0].places[0].name = "heart of it".into()
    }),
    ("the block's size", 1, |p| {
        p.blocks[0].width = Surd::int(9);
        p.blocks[0].height = Surd::int(9);
    }),
    ("the block's name", 12, |p| {
        p.blocks[0].name = "New name".into()
    }),
    ("a block more", 30, |p| {
        let mut block = p.blocks[0].clone();
        block.name = "Copy".into();
        p.blocks.push(block);
        p.setting.cells.cells[0] = cell(p.blocks.len() - 1, 0);
    }),
    ("a colourway", 6, |p| {
        let places = vec![(0, vec![ClothId(1)])];
        p.blocks[0].colourways.push(Colourway {
            name: "dawn".into(),
            places,
        });
        let index = p.blocks[0].colourways.len() - 1;
        p.setting.cells.cells[0] = CellPlan {
            block: BlockId(0),
            colourway: Some(index),
            turn: 0,
            mirrored: false,
        };
    }),
    ("a border more outside", 6, |p| {
        p.borders.push(border(Corner::Mitred))
    }),
    ("a border more inside", 8, |p| {
        p.borders.insert(0, border(Corner::Squares(ClothId(1))))
    }),
    ("no border", 20, |p| p.borders.clear()),
    ("one border less", 8, |p| drop(p.borders.remove(0))),
    ("a border's width", 1, |p| {
        p.borders[0].width = Surd::ratio(9, 4)
    }),
    ("a border's corners", 3, |p| {
        p.borders[0].corner = Corner::Butted
    }),
    ("sashing", 7, |p| {
        p.setting.sashing = Some(Sashing {
            width: Surd::int(2),
            cloth: ClothId(0),
            posts: Some(ClothId(1)),
            outside: false,
        });
    }),
    ("no sashing", 7, |p| p.setting.sashing = None),
    ("on point", 5, |p| {
        let between = Repeat {
            rows: 1,
            columns: 1,
            cells: vec![cell(0, 2)],
        };
        p.setting.kind = Kind::OnPoint {
            between,
            edge: ClothId(0),
            float: Surd::ONE,
        };
    }),
    ("straight", 5, |p| p.setting.kind = Kind::Straight),
    ("a bed", 6, |p| {
        let (drop, tuck) = (Surd::int(10), Surd::ZERO);
        p.setting.target = Some(Target::Bed {
            bed: planfile::bed("queen").expect("a standard bed"),
            drop,
            tuck,
        });
    }),
    ("an odd bed", 6, |p| {
        let mut bed = planfile::bed("queen").expect("a standard bed");
        bed.width = Surd::int(59);
        let (drop, tuck) = (Surd::int(12), Surd::int(8));
        p.setting.target = Some(Target::Bed { bed, drop, tuck });
    }),
    ("no target", 7, |p| p.setting.target = None),
    ("sleeve", 3, |p| p.finishing.sleeve = Some(Surd::int(3))),
    ("no backing cloth", 1, |p| p.finishing.backing.cloth = None),
    ("binding", 3, |p| {
        p.finishing.binding.cloth = Some(ClothId(1));
        p.finishing.binding.width = Surd::ratio(9, 4);
    }),
    // A cloth keeps its width when the usual one changes, so every cloth must now say it.
    ("usual width", 23, |p| p.buying.width = Surd::int(41)),
    ("usual width and all cloths with it", 4, |p| {
        let usual = std::mem::replace(&mut p.buying.width, Surd::int(41));
        let cloths = p.cloths.iter_mut().filter(|cloth| cloth.width == usual);
        cloths.for_each(|cloth| cloth.width = Surd::int(41));
    }),
    ("shrinkage", 4, |p| p.buying.shrinkage = Surd::ratio(3, 100)),
    ("another draft", 8, |p| {
        p.blocks[0].draft = Draft::Star { split: true }
    }),
    ("a draft of lines", 10, |p| {
        let line =
            Segment::new(Point::ORIGIN, Point::new(Surd::int(3), Surd::root2())).expect("a length");
        p.blocks[0].draft = Draft::Lines { lines: vec![line] };
    }),
];

fn border(corner: Corner) -> BorderPlan {
    BorderPlan {
        kind: quilt::plan::BorderKind::Plain,
        width: Surd::ratio(5, 4),
        cloth: ClothId(0),
        corner,
        cut: CutAlong::Length,
    }
}

/// Applies a change to every reference to a cloth.
fn for_every_cloth(p: &mut Plan, change: impl Fn(&mut ClothId)) {
    for block in &mut p.blocks {
        block
            .places
            .iter_mut()
            .flat_map(|place| &mut place.cloths)
            .for_each(&change);
        let ways = block.colourways.iter_mut().flat_map(|way| &mut way.places);
        ways.flat_map(|(_, cloths)| cloths).for_each(&change);
    }
    if let Kind::OnPoint { edge, .. } = &mut p.setting.kind {
        change(edge);
    }
    if let Some(sashing) = &mut p.setting.sashing {
        change(&mut sashing.cloth);
        sashing.posts.iter_mut().for_each(&change);
    }
    for border in &mut p.borders {
        change(&mut border.cloth);
        if let Corner::Squares(id) = &mut border.corner {
            change(id);
        }
    }
    p.finishing.backing.cloth.iter_mut().for_each(&change);
    p.finishing.binding.cloth.iter_mut().for_each(&change);
}

/// Lines of `a` that are not in `b`, counted as often as they occur.
fn lost<'a>(a: &'a str, b: &str) -> Vec<&'a str> {
    let mut left: Vec<&str> = b.lines().map(str::trim_end).collect();
    a.lines()
        .map(str::trim_end)
        .filter(|line| match left.iter().position(|l| l == line) {
            Some(i) => {
                left.swap_remove(i);
                false
            }
            None => true,
        })
        .collect()
}

#[test]
fn a_change_touches_only_what_it_must() {
    let mut wide = Vec::new();
    for text in every_text() {
        let old = plan(text);
        for (name, lines, deed) in ANYWHERE {
            if old.borders.is_empty() && name.contains("border") {
                continue;
            }
            let mut new = old.clone();
            deed(&mut new);
            let written = write_change(text, &old, &new)
                .unwrap_or_else(|trouble| panic!("{}: {name}: {trouble}", old.title));
            assert_eq!(plan(&written), new, "{}: {name}\n{written}", old.title);
            let (gone, come) = (lost(text, &written), lost(&written, text));
            let far = gone.len().max(come.len());
            // A change of many references may reach every line that names the thing.
            let renames = name.contains("short name") || name.contains("the block's");
            // A draft goes with all its rows, one line each.
            let rows = match &old.blocks[0].draft {
                Draft::Grid { rows, .. } if name.contains("draft") => rows.len(),
                _ => 0,
            };
            let most = if renames { lines + 8 } else { lines + rows };
            if far > most {
                wide.push(format!("{}: {name}\n- {gone:#?}\n+ {come:#?}", old.title));
            }
        }
    }
    assert!(wide.is_empty(), "{}", wide.join("\n"));
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig {
        cases: 100,
        failure_persistence: None,
        ..proptest::prelude::ProptestConfig::default()
    })]

    /// Several changes one after the other, each carried into what the last one left.
    #[test]
    fn changes_follow_one_another(
        which in 0..5_usize,
        deeds in proptest::sample::subsequence((0..ANYWHERE.len()).collect::<Vec<_>>(), 2..7),
    ) {
        let mut text = every_text()[which].to_owned();
        let mut old = plan(&text);
        for deed in deeds {
            let (name, _, deed) = ANYWHERE[deed];
            if old.borders.is_empty() && name.contains("border") {
                continue;
            }
            let mut new = old.clone();
            deed(&mut new);
            text = write_change(&text, &old, &new)
                .unwrap_or_else(|trouble| panic!("{name}: {trouble}\n{text}"));
            proptest::prop_assert_eq!(&plan(&text), &new, "{}", name);
            proptest::prop_assert_eq!(&plan(&write(&new)), &new, "{} afresh", name);
            old = new;
        }
    }
}

#[test]
fn remarks_survive_every_change() {
    let old = plan(ODD);
    let remarks: Vec<&str> = ODD
        .lines()
        .filter_map(|l| l.split_once("# ").map(|(_, r)| r))
        .collect();
    assert!(remarks.len() > 25);
    let unharmed = [
        "title",
        "note",
        "seam",
        "ruler",
        "rows and columns",
        "a cloth's colour",
        "a cloth's short name",
        "a cloth more",
        "a cloth more in the middle",
        "the block's name",
        "the block's size",
        "one turn",
        "another cloth in a place",
        "sashing",
        "a bed",
        "a border more inside",
        "a border more outside",
        "usual width",
        "a block more",
    ];
    for name in unharmed {
        let (_, _, deed) = ANYWHERE.iter().find(|d| d.0 == name).unwrap();
        let mut new = old.clone();
        deed(&mut new);
        let written = write_change(ODD, &old, &new).unwrap();
        for remark in &remarks {
            assert!(
                written.contains(remark),
                "{name}: lost “{remark}”\n{written}"
            );
        }
    }
}

#[test]
fn the_unit_can_be_changed() {
    for text in every_text() {
        let old = plan(text);
        let mut new = old.clone();
        new.measure = match old.measure {
            Measure::Inch => Measure::Centimetre,
            Measure::Centimetre => Measure::Inch,
        };
        let written = write_change(text, &old, &new).unwrap();
        assert_eq!(plan(&written), new);
        let first = text.lines().next().unwrap();
        assert!(written.starts_with(first), "the remark at the top stays");
    }
}

#[test]
fn the_order_of_cloths_and_places_can_be_changed() {
    for text in every_text() {
        let old = plan(text);
        let mut new = old.clone();
        let last = new.cloths.len() - 1;
        new.cloths.reverse();
        for_every_cloth(&mut new, |id| id.0 = last - id.0);
        new.blocks[0].places.reverse();
        let places = new.blocks[0].places.len();
        for (index, _) in new.blocks[0]
            .colourways
            .iter_mut()
            .flat_map(|w| &mut w.places)
        {
            *index = places - 1 - *index;
        }
        let written = write_change(text, &old, &new).unwrap();
        assert_eq!(plan(&written), new);
        let remarks = |t: &str| {
            t.lines()
                .filter(|l| l.trim_start().starts_with('#'))
                .count()
        };
        assert_eq!(remarks(&written), remarks(text), "{written}");
    }
}

#[test]
fn a_maker_keeps_their_letters_and_divisions() {
    let old = plan(ODD);
    let mut new = old.clone();
    new.setting.cells.cells.swap(0, 2);
    let end = Point::new(new.blocks[1].width.half(), new.blocks[1].height.clone());
    if let Draft::Lines { lines } = &mut new.blocks[1].draft {
        lines[1] = Segment::new(lines[1].a.clone(), end).unwrap();
    }
    let written = write_change(ODD, &old, &new).unwrap();
    assert!(written.contains("\"P D Gr\""), "{written}");
    assert!(written.contains("\"2 0 - 2 4\","), "{written}");
    assert!(written.contains("# the long one"), "{written}");
}

#[test]
fn a_file_someone_else_changed_is_not_overwritten() {
    let text = DEMOS[0];
    let mut old = plan(text);
    old.title = "Not what the file says".into();
    let trouble = write_change(text, &old, &old).unwrap_err();
    assert!(trouble.text.contains("changed since"), "{trouble}");
}

#[test]
fn what_a_file_cannot_say_is_refused() {
    let old = plan(DEMOS[0]);
    for deed in [
        |p: &mut Plan| p.title = String::new(),
        |p: &mut Plan| p.seam = Surd::int(-1),
        |p: &mut Plan| p.blocks[0].name = "a/b".into(),
        |p: &mut Plan| p.setting.rows = 0,
        |p: &mut Plan| p.cloths[0].key = p.cloths[1].key.clone(),
        |p: &mut Plan| p.setting.cells.cells.clear(),
    ] {
        let mut new = old.clone();
        deed(&mut new);
        assert!(write_change(DEMOS[0], &old, &new).is_err());
    }
}

#[test]
fn a_file_is_saved_whole_or_not_at_all() {
    let folder = std::env::temp_dir().join(format!("planfile-test-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("plan.toml");
    planfile::save_whole(&path, DEMOS[0]).unwrap();
    planfile::save_whole(&path, DEMOS[2]).unwrap();
    let (text, loaded) = planfile::load(&path).unwrap();
    assert_eq!((text.as_str(), loaded), (DEMOS[2], plan(DEMOS[2])));
    let nowhere = folder.join("no such folder").join("plan.toml");
    assert!(planfile::save_whole(&nowhere, DEMOS[0]).is_err());
    let left: Vec<_> = std::fs::read_dir(&folder).unwrap().collect();
    assert_eq!(left.len(), 1, "nothing but the plan lies there");
    std::fs::write(&path, "title = ").unwrap();
    let fault = planfile::load(&path).unwrap_err();
    assert!(fault.to_string().contains("plan.toml:1"), "{fault}");
    std::fs::remove_dir_all(&folder).unwrap();
}
