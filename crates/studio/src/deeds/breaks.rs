//! The breaks of the value line: where light ends and dark begins.
//!
//! A plan file says no limits; it says the value of a cloth. So a break that is pulled puts
//! the maker's word on the cloths that cross it, and on those that would otherwise be
//! sorted anew because of that.

use quilt::cloth::Values;
use quilt::plan::{ClothId, Edit, Plan, Value};

use super::{Asked, Deed};

/// The cloths from light to dark, and after how many of them each group ends.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Breaks {
    /// Lightest group first; within a group the lightest cloth first.
    pub(crate) order: Vec<ClothId>,
    pub(crate) at: Vec<usize>,
    /// The values on either side of each break, the lighter first.
    pub(crate) between: Vec<(Value, Value)>,
}

/// The breaks as they stand; `None` where the plan sorts into other groups than light,
/// medium and dark, or light and dark.
pub(crate) fn breaks(values: &Values) -> Option<Breaks> {
    if !matches!(values.groups.len(), 2 | 3) {
        return None;
    }
    let mut found = Breaks {
        order: Vec::new(),
        at: Vec::new(),
        between: Vec::new(),
    };
    let groups: Vec<_> = values.groups.iter().rev().collect();
    for (index, group) in groups.iter().enumerate() {
        found.order.extend(group.cloths.iter().rev());
        if let Some(next) = groups.get(index + 1) {
            found.at.push(found.order.len());
            found.between.push((group.value, next.value));
        }
    }
    Some(found)
}

/// The gesture that pulls a break to another place.
pub(super) fn read(asked: &Asked, plan: &Plan) -> Result<Deed, String> {
    let groups = plan.choosing.groups;
    let values = Values::of(&plan.cloths, groups);
    let gone = || "There is no such break any more; look again.".to_owned();
    let mut breaks = breaks(&values).ok_or_else(gone)?;
    let number: usize = asked.number("break")?;
    let to: usize = asked.number("to")?;
    if number >= breaks.at.len() || to > breaks.order.len() {
        return Err(gone());
    }
    let (light, dark) = breaks.between[number];
    breaks.at[number] = to;
    // A break pulled past another takes it along.
    for other in 0..breaks.at.len() {
        let at = breaks.at[other];
        breaks.at[other] = if other < number {
            at.min(to)
        } else {
            at.max(to)
        };
    }
    breaks.at[number] = to;
    let wanted = |place: usize| {
        let group = breaks.at.iter().filter(|&&at| at <= place).count();
        match group.checked_sub(1) {
            None => breaks.between[0].0,
            Some(before) => breaks.between[before].1,
        }
    };
    let mut cloths = plan.cloths.clone();
    let mut said: Vec<ClothId> = Vec::new();
    // Each word may sort the rest anew; in the worst case every cloth gets its word.
    loop {
        let now = Values::of(&cloths, groups);
        let mut places = breaks.order.iter().enumerate();
        let odd = places.find(|(place, id)| now.value(**id) != wanted(*place));
        let Some((place, id)) = odd else { break };
        if said.contains(id) {
            return Err("The cloths cannot be sorted so.".into());
        }
        cloths[id.0].value = Some(wanted(place));
        said.push(*id);
    }
    let edits = said
        .into_iter()
        .map(|id| Edit::SetCloth(id, cloths[id.0].clone()))
        .collect();
    let word = |value: Value| match value {
        Value::Dark => "dark",
        Value::Medium => "medium",
        Value::Light => "light",
    };
    Ok(Deed {
        edits,
        says: format!("Pull the break between {} and {}", word(light), word(dark)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plan() -> Plan {
        let (_, title, text) = crate::DEMOS[0];
        planfile::read(title, text).unwrap()
    }

    #[test]
    fn a_break_can_stand_between_any_two_cloths() {
        let plan = plan();
        let before = breaks(&Values::of(&plan.cloths, plan.choosing.groups)).unwrap();
        assert_eq!(before.order.len(), plan.cloths.len());
        for number in 0..before.at.len() {
            for to in 0..=before.order.len() {
                let asked = Asked::of(&[("break", &number.to_string()), ("to", &to.to_string())]);
                let deed = read(&asked, &plan).unwrap();
                let mut after = plan.clone();
                for edit in &deed.edits {
                    after = after.with(edit).unwrap();
                }
                let values = Values::of(&after.cloths, plan.choosing.groups);
                let now = breaks(&values).unwrap();
                assert_eq!(now.at[number], to, "break {number}");
                // The cloths stand as before, whatever group they count to.
                for (place, id) in before.order.iter().enumerate() {
                    let lighter = place < to;
                    let group = values.value(*id);
                    let (light, _) = before.between[number];
                    assert_eq!(group >= light, lighter, "cloth {} at {to}", id.0);
                }
            }
        }
    }
}
