//! Ramps: even runs from dark to light along the arms of a block, proposed from the cloths
//! at hand; and the pools of a scrap quilt, to look at.

use quilt::cloth::Ramped;
use quilt::plan::{Choice, ClothId, Each, Outward, PoolPlan, RampPlan};

use super::View;
use super::parts::{button, choice, deed, hidden, swatch, why};
use crate::deeds::{arms, proposed};
use crate::html::{El, Node, el};
use crate::look::cloth_name;

pub(super) fn sheet(view: &View) -> Node {
    let plan = &view.now.plan;
    let came = proposed(plan, &view.now.look);
    let ramps: Vec<El> = plan
        .choosing
        .ramps
        .iter()
        .zip(&came)
        .enumerate()
        .map(|(index, (ramp, came))| one(view, index, ramp, came))
        .collect();
    let none = ramps.is_empty().then(|| {
        el("p").text("A ramp lays cloths along the arms of a block in an even run from dark to light, all arms matched round by round. None has been begun.")
    });
    let pools = plan.choosing.pools.iter().map(|pool| shown(view, pool));
    let pools: Vec<El> = pools.collect();
    Node::all([
        Node::from(none),
        Node::all(ramps),
        Node::from(beginning(view)),
        (!pools.is_empty())
            .then(|| {
                Node::all([
                    Node::from(el("h3").text("Scattered cloth")),
                    Node::all(pools),
                ])
            })
            .into(),
    ])
}

/// One ramp as it would be laid: arms down, rounds across.
fn one(view: &View, index: usize, ramp: &RampPlan, came: &Ramped) -> El {
    let plan = &view.now.plan;
    let title = el("h3").text(format!(
        "“{}” for “{}”, {} outward",
        ramp.name,
        plan.block(ramp.block).name,
        match ramp.outward {
            Outward::Paler => "paling",
            Outward::Deeper => "deepening",
        }
    ));
    let away = deed("no-ramp")
        .put(hidden("ramp", index))
        .put(button("Take this ramp out"));
    if let Some(trouble) = &came.trouble {
        return el("section")
            .class("ramp")
            .put(title)
            .put(super::parts::finding(
                quilt::findings::Weight::Mind,
                trouble,
            ))
            .put(away);
    }
    let values = &view.now.look.laid.values;
    let heads = (1..=came.marks.len())
        .map(|round| el("th").attr("scope", "col").text(format!("Round {round}")));
    let rows = ramp.arms.iter().zip(&came.arms).map(|(arm, slots)| {
        let cells = slots.iter().zip(&came.marks).map(|(slot, mark)| {
            let cell = el("td");
            match slot.cloth {
                Some(id) => cell
                    .put(swatch(view.now.kept.id, view.now.kept.turned, id.0))
                    .put(el("span").text(cloth_name(plan, id)))
                    .put(
                        el("span")
                            .class("quiet")
                            .text(off(values.of[id.0].lightness - mark)),
                    ),
                None => cell.put(el("span").text("no cloth")),
            }
        });
        el("tr")
            .put(el("th").attr("scope", "row").text(arm))
            .put_all(cells)
    });
    let lay = came
        .arms
        .iter()
        .flatten()
        .any(|slot| slot.cloth.is_some())
        .then(|| {
            deed("lay-ramp").put(hidden("ramp", index)).put(
                button("Lay these")
                    .attr("id", format!("lay-ramp-{index}"))
                    .class("main"),
            )
        });
    el("section")
        .class("ramp")
        .put(title)
        .put(el("p").text(evenness(view, came)))
        .put(
            el("div")
                .class("wide")
                .attr("tabindex", "0")
                .attr("role", "region")
                .attr("aria-label", format!("The ramp {}", ramp.name))
                .put(
                    el("table")
                        .class("ramp")
                        .put(el("thead").put(el("tr").put(el("td")).put_all(heads)))
                        .put(el("tbody").put_all(rows)),
                ),
        )
        .put(lay)
        .put_all(
            came.look_for
                .iter()
                .map(|wanted| el("p").text(format!("Look for {}.", wanted.in_words(plan, ramp)))),
        )
        .put(away)
}

/// How far a cloth lies from the mark of its round, in words.
fn off(steps: f64) -> String {
    match steps {
        s if s.abs() < 1.0 => "even".into(),
        s if s > 0.0 => format!("{s:.0} too light"),
        s => format!("{:.0} too dark", -s),
    }
}

/// How evenly it runs: the furthest from its mark, and the least matched round.
fn evenness(view: &View, came: &Ramped) -> String {
    let values = &view.now.look.laid.values;
    let offs = came.arms.iter().flat_map(|slots| {
        let pairs = slots.iter().zip(&came.marks);
        pairs.filter_map(|(slot, mark)| Some((values.of[slot.cloth?.0].lightness - mark).abs()))
    });
    let furthest = offs.fold(0.0, f64::max);
    let apart = came.apart(values);
    let worst = apart
        .iter()
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(b.1))
        .map_or((0, 0.0), |(round, apart)| (round, *apart));
    let run = match furthest {
        f if f < 3.0 => "The run is even",
        f if f < 8.0 => "The run is nearly even",
        _ => "The run is uneven",
    };
    format!(
        "{run}: no cloth lies further than {furthest:.0} from its mark, on the scale from black (0) to white (100). The arms match to within {:.0} in every round, least in round {}. No other choice of these cloths comes nearer.",
        worst.1,
        worst.0 + 1
    )
}

/// A ramp begun for a block, once its arms are known.
fn beginning(view: &View) -> El {
    let plan = &view.now.plan;
    let asked = view.asking.number("of").filter(|i| *i < plan.blocks.len());
    let usual = plan
        .blocks
        .iter()
        .position(|block| !arms(block).is_empty())
        .unwrap_or(0);
    let index = asked.unwrap_or(usual);
    let Some(block) = plan.blocks.get(index) else {
        return el("div");
    };
    let others = (plan.blocks.len() > 1).then(|| {
        let links = plan.blocks.iter().enumerate().map(|(i, other)| {
            let mut link = el("a")
                .attr("href", view.with("of", i))
                .attr("data-part", "yes");
            if i == index {
                link = link.attr("aria-current", "true");
            }
            el("li").put(link.text(format!("“{}”", other.name)))
        });
        let links: Vec<El> = links.collect();
        el("ul").class("questions").put_all(links)
    });
    let known = arms(block);
    let body = if known.is_empty() {
        saying(view, index)
    } else {
        let cloths = (0..plan.cloths.len()).map(|i| {
            let id = format!("ramp-cloth-{i}");
            el("label")
                .class("reach")
                .attr("for", &id)
                .put(
                    el("input")
                        .attr("type", "checkbox")
                        .attr("name", format!("cloth-{i}"))
                        .attr("id", &id)
                        .flag("checked", true),
                )
                .put(swatch(view.now.kept.id, view.now.kept.turned, i))
                .put(el("span").text(cloth_name(plan, ClothId(i))))
        });
        deed("ramp")
            .put(hidden("block", index))
            .put(el("p").text(format!("Its arms: {}.", known.join(", "))))
            .put(choice(
                "ramp-outward",
                "From round 1 outward",
                "outward",
                [
                    ("paler".to_owned(), "it pales".to_owned()),
                    ("deeper".to_owned(), "it deepens".to_owned()),
                ],
                "paler",
            ))
            .put(
                el("fieldset")
                    .put(el("legend").text("From these cloths"))
                    .put_all(cloths),
            )
            .put(button("Begin the ramp").class("main"))
    };
    el("section")
        .put(el("h3").text(format!("Begin a ramp for “{}”", block.name)))
        .put(others)
        .put(body)
}

/// Which places are which rounds of which arms.
fn saying(view: &View, index: usize) -> El {
    let block = &view.now.plan.blocks[index];
    let numbers = |none: &str| -> Vec<(String, String)> {
        let all = (1..=12).map(|n| (n.to_string(), n.to_string()));
        std::iter::once((String::new(), none.to_owned()))
            .chain(all)
            .collect()
    };
    let rows = block.places.iter().enumerate().map(|(i, place)| {
        el("fieldset")
            .class("row")
            .put(el("legend").text(format!("“{}”", place.name)))
            .put(choice(
                &format!("arm-{i}"),
                "Arm",
                format!("arm-{i}"),
                numbers("none"),
                "",
            ))
            .put(choice(
                &format!("round-{i}"),
                "Round",
                format!("round-{i}"),
                numbers("none"),
                "",
            ))
    });
    let rows: Vec<El> = rows.collect();
    if rows.is_empty() {
        return el("p").text("This block has no places yet; give its patches places under Block.");
    }
    deed("arms")
        .put(hidden("block", index))
        .put(el("p").text(
            "Say which places are rounds of an arm: round 1 at the centre, then outward. The places are named so.",
        ))
        .put_all(rows)
        .put(button("These are the arms").class("main"))
}

/// A pool as the plan has it.
fn shown(view: &View, pool: &PoolPlan) -> El {
    let plan = &view.now.plan;
    let cloths = plan.cloths_from(&pool.from);
    let from = match &pool.from {
        Choice::All => "every cloth of the plan".to_owned(),
        Choice::Cloths(_) => "cloths chosen one by one".to_owned(),
        Choice::Value(value) => format!("those that read {}", super::cloth::value_word(*value)),
        Choice::Tag(tag) => format!("those tagged “{tag}”"),
    };
    let fills: Vec<String> = pool
        .fills
        .iter()
        .map(|(block, place)| {
            let block = plan.block(*block);
            format!("“{}” of “{}”", block.places[*place].name, block.name)
        })
        .collect();
    let names: Vec<String> = cloths.iter().map(|id| cloth_name(plan, *id)).collect();
    el("section")
        .put(el("p").text(format!(
            "“{}” scatters {} cloths, {from}, over {}; each {} takes one.",
            pool.name,
            cloths.len(),
            fills.join(", "),
            match pool.each {
                Each::Patch => "patch",
                Each::Block => "block",
            }
        )))
        .put(why("Which cloths", el("p").text(names.join(", "))))
}
