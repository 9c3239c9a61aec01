//! The quilt's name, its measure, and everything after the top.

use geometry::Surd;
use quilt::measure::{Measure, Rounding, Ruler};
use quilt::plan::{BindingRun, Edit, Paper, Plan};

use super::{Asked, Deed};

pub(super) fn read(asked: &Asked, plan: &Plan) -> Result<Deed, String> {
    match asked.word("do")? {
        "name" => {
            let title = asked.word("title")?.to_owned();
            if title.chars().count() > 100 {
                return Err("A hundred letters are enough for a name.".into());
            }
            let says = format!("Call the quilt {title}");
            let note = asked.text("note").unwrap_or(&plan.note).to_owned();
            Ok(Deed {
                edits: vec![Edit::SetTitle(title), Edit::SetNote(note)],
                says,
            })
        }
        "backing" => {
            let mut finishing = plan.finishing.clone();
            finishing.backing.cloth = asked.maybe_cloth("cloth", plan)?;
            finishing.backing.overage = asked.length("overage", plan)?;
            finishing.batting.overage = asked.length("batting", plan)?;
            finishing.sleeve = match asked.text("sleeve") {
                None | Some("") => None,
                Some(_) => Some(asked.length("sleeve", plan)?),
            };
            Ok(Deed::one(
                Edit::SetFinishing(finishing),
                "Change backing and batting",
            ))
        }
        "binding" => {
            let mut finishing = plan.finishing.clone();
            finishing.binding.cloth = asked.maybe_cloth("cloth", plan)?;
            finishing.binding.width = asked.length("width", plan)?;
            finishing.binding.run = match asked.word("run")? {
                "bias" => BindingRun::Bias,
                _ => BindingRun::Straight,
            };
            Ok(Deed::one(
                Edit::SetFinishing(finishing),
                "Change the binding",
            ))
        }
        "paper" => {
            let paper = match asked.word("paper")? {
                "a4" => Paper::A4,
                _ => Paper::Letter,
            };
            Ok(Deed::one(Edit::SetPaper(paper), "Other paper"))
        }
        "seam" => {
            let seam = asked.length("seam", plan)?;
            let says = format!("Seam allowance {}", plan.measure.say(&seam));
            Ok(Deed::one(Edit::SetSeam(seam), says))
        }
        "measure" => {
            let (measure, mark, says) = match asked.word("measure")? {
                "cm" => (
                    Measure::Centimetre,
                    Surd::ratio(1, 10),
                    "Read in centimetres",
                ),
                _ => (Measure::Inch, Surd::ratio(1, 8), "Read in inches"),
            };
            let mut edits = vec![Edit::SetMeasure(measure)];
            if measure != plan.measure {
                let ruler = Ruler::new(measure.inches(&mark), Rounding::Up);
                edits.extend(ruler.map(Edit::SetRuler));
            }
            Ok(Deed {
                edits,
                says: says.into(),
            })
        }
        other => Err(format!("The studio does not know how to “{other}”.")),
    }
}
