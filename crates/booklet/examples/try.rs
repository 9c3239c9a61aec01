//! Temporary: sets the booklet of a plan file.
use std::sync::Arc;
use geometry::Surd;
use quilt::finishing::*;
use quilt::results::Results;
use quilt::{block, cutting, setting, sewing};
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let text = std::fs::read_to_string(&a[1]).unwrap();
    let plan = planfile::read(&a[1], &text).unwrap_or_else(|t| panic!("{}", planfile::render(&a[1], &text, &t, false)));
    let blocks: Vec<_> = plan.blocks.iter().map(|b| block::work_out(b, &plan.seam, &plan.ruler).ok().map(Arc::new)).collect();
    let counts: Vec<usize> = blocks.iter().map(|b| b.as_ref().unwrap().patches.len()).collect();
    let top = setting::work_out(&plan, &counts).unwrap();
    let sewing = sewing::work_out(&plan, &blocks, &top);
    let o = &plan.finishing.backing.overage;
    let (w, h) = (&top.width + &o.times(2), &top.height + &o.times(2));
    let way = |seams, n: u32, l: &Surd| BackingWay { seams, lengths: n, length: l.clone(), total: l.times(n.into()) };
    let fin = Finishing {
        backing: Backing { cloth: plan.finishing.backing.cloth, width: w.clone(), height: h.clone(), cloth_width: Surd::int(40), chosen: way(SeamsRun::Upright, 2, &h), other: way(SeamsRun::Across, 3, &w), buy: Surd::int(180) },
        batting: Batting { width: w.clone(), height: h.clone(), package: Some(("full", Surd::int(81), Surd::int(96))) },
        binding: Binding { cloth: plan.finishing.binding.cloth, length: (&top.width + &top.height).times(2) + Surd::int(10), strip: plan.finishing.binding.width.clone(), strips: 8, bias_square: None },
        sleeve: plan.finishing.sleeve.as_ref().map(|_| Sleeve { cut_depth: Surd::ratio(17, 2), cut_length: top.width.clone() }),
        thread: Thread { seam_length: 30000.0, piecing: 90000.0 },
    };
    let cutting = cutting::work_out(&plan, &blocks, &top, &fin);
    let results = Results { blocks, faults: vec![], top: Some(Arc::new(top)), sewing: Some(Arc::new(sewing)), finishing: Some(Arc::new(fin)), cutting: Some(Arc::new(cutting)), findings: vec![] };
    for _ in 0..2 {
        let t = std::time::Instant::now();
        match booklet::pdf(&plan, &results) {
            Ok(pdf) => { println!("{} {} KB {:?}", a[2], pdf.len() / 1024, t.elapsed()); std::fs::write(&a[2], pdf).unwrap(); }
            Err(e) => { println!("{e}"); std::process::exit(1) }
        }
    }
}
