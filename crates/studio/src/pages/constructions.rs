//! The trade's constructions on the Block sheet: small pictures of themselves to lay down,
//! with their numbers to pull.

use quilt::block;
use quilt::block::drafting::constructions::Construction;
use quilt::plan::{BlockId, BlockPlan, Draft};

use super::View;
use super::parts::{button, deed, hidden};
use crate::deeds::pulls_in;
use crate::html::{El, Node, el};

/// The constructions, the one at hand with its pulls.
pub(super) fn section(view: &View, id: BlockId, of: &BlockPlan) -> El {
    let asked = view.asking.word("lay").and_then(Construction::named);
    let present = Construction::of(&of.draft);
    let at_hand = match (asked, &present) {
        (Some(kind), Some((now, values)))
            if kind == *now && view.asking.word("pulls").is_none() =>
        {
            Some((kind, values.clone()))
        }
        (Some(kind), _) => {
            let values = pulls_in(view.asking.word("pulls").unwrap_or_default());
            Some((kind, kind.within(&values)))
        }
        (None, Some(now)) => Some(now.clone()),
        (None, None) => None,
    };
    let empty = matches!(&of.draft, Draft::Lines { lines } if lines.is_empty());
    let all = Construction::ALL.into_iter().map(|kind| {
        let here = at_hand.as_ref().is_some_and(|(at, _)| *at == kind);
        let mut link = el("a")
            .attr("href", view.with_all(&[("lay", kind.key())], &["pulls"]))
            .attr("data-part", "yes")
            .attr("data-to", "constructions")
            .attr("id", format!("lay-{}", kind.key()));
        if here {
            link = link.attr("aria-current", "true");
        }
        el("li").put(
            link.put(
                picture(view, id, kind, &kind.usual())
                    .attr("loading", "lazy")
                    .attr("alt", ""),
            )
            .put(el("span").text(kind.name())),
        )
    });
    let chosen = at_hand
        .as_ref()
        .map(|(kind, values)| pulled(view, id, of, *kind, values));
    el("details")
        .class("why")
        .attr("id", "constructions")
        .flag("open", empty || asked.is_some() || present.is_some())
        .put(el("summary").text("Lay one of the trade’s constructions"))
        .put(
            el("div")
                .put(chosen)
                .put(el("ul").class("constructions").put_all(all)),
        )
}

/// A construction as this block would be drawn by it.
fn picture(view: &View, id: BlockId, kind: Construction, values: &[u32]) -> El {
    let values: Vec<String> = values.iter().map(u32::to_string).collect();
    let which = format!("construction/{}-{}-{}", id.0, kind.key(), values.join("-"));
    el("img").attr(
        "src",
        format!("{}?v={}", view.address(&which), view.now.kept.turned),
    )
}

/// The construction at hand, large, with its pulls and the button that lays it.
fn pulled(view: &View, id: BlockId, of: &BlockPlan, kind: Construction, values: &[u32]) -> El {
    let plan = &view.now.plan;
    let block = kind.laid(values, plan, of);
    let patches = block::drafted(&block).map_or(0, |drawn| drawn.arrangement.faces.len());
    let mut says = match patches {
        1 => "One patch".to_owned(),
        n => format!("{n} patches"),
    };
    if block.height != of.height {
        says += &format!(
            ". The block finishes at {} then",
            plan.measure.near_size(&block.width, &block.height)
        );
    }
    let same = block.draft == of.draft;
    let steps = kind.pulls().iter().enumerate().map(|(at, pull)| {
        let now = values.get(at).copied().unwrap_or(pull.usual);
        let step = |words: &str, says: &str, to: Option<u32>, id: String| {
            let button = el("a").class("button square").attr("id", &id);
            let Some(to) = to else {
                // Nothing further that way.
                return Node::from(
                    el("span")
                        .class("button square off")
                        .attr("id", id)
                        .attr("aria-hidden", "true")
                        .text(words),
                );
            };
            let mut values = values.to_vec();
            values[at] = to;
            let values: Vec<String> = values.iter().map(u32::to_string).collect();
            let to = [("lay", kind.key()), ("pulls", &*values.join("-"))];
            Node::from(
                button
                    .attr("href", view.with_all(&to, &[]))
                    .attr("data-part", "yes")
                    .attr("aria-label", format!("{}: {says}", pull.name))
                    .text(words),
            )
        };
        let less = now.checked_sub(1).filter(|n| *n >= pull.least);
        let more = Some(now + 1).filter(|n| *n <= pull.most);
        let (fewer, further) = if pull.words.is_empty() {
            ("one less", "one more")
        } else {
            ("the one before", "the next")
        };
        el("div")
            .class("stepper pull")
            .put(el("span").class("name").text(pull.name))
            .put(step("−", fewer, less, format!("pull-{at}-less")))
            .put(el("strong").class("value").text(pull.says(now)))
            .put(step("+", further, more, format!("pull-{at}-more")))
    });
    let lay = if same {
        el("p").class("quiet").text("The block lies so now.")
    } else {
        let values: Vec<String> = values.iter().map(u32::to_string).collect();
        deed("construct")
            .put(hidden("block", id.0))
            .put(hidden("kind", kind.key()))
            .put(hidden("pulls", values.join("-")))
            .put(button("Lay it").class("main").attr("id", "lay-it"))
    };
    el("div")
        .class("pulled")
        .put(
            picture(view, id, kind, values)
                .attr("id", "pulled")
                .attr("alt", format!("{}: {says}", kind.name())),
        )
        .put(
            el("div")
                .put(el("h3").text(sentence(kind.name())))
                .put_all(steps)
                .put(el("p").class("quiet").text(format!("{says}.")))
                .put(lay),
        )
}

fn sentence(words: &str) -> String {
    let mut all = words.chars();
    all.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + all.as_str()
    })
}
