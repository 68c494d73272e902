//! Runs under a drag: those that have nothing to do with the block stay where they are, those that land on it keep few
//! bends, bends that were placed by hand stay, and the way does not depend on how the block came there.
#![cfg(test)]

#[path = "support/mod.rs"]
mod support;

use lineside_core::circuit::{BlockId, GridPoint, Run, RunId};
use lineside_core::edit::{Edit, Stand, apply};
use lineside_core::file;
use lineside_core::project::Project;
use lineside_drawing::geometry::{GridArea, Point};
use lineside_drawing::placement;
use lineside_drawing::route::Routes;
use std::collections::BTreeMap;

type Ways = BTreeMap<RunId, Vec<GridPoint>>;

fn ways(routes: &Routes) -> Ways {
    routes.iter().map(|(run, points)| (run, points.to_vec())).collect()
}

fn put(project: &mut Project, id: BlockId, at: GridPoint) {
    let block = project.circuit.block(id).unwrap();
    let stand = Stand { at, orientation: block.orientation, place: block.place };
    apply(project, Edit::SetStand(id, stand)).unwrap();
}

fn bends(way: &[GridPoint]) -> usize {
    way.len().saturating_sub(2)
}

/// Whether any piece of a way comes within a step of an area.
fn comes_near(way: &[GridPoint], area: GridArea) -> bool {
    way.windows(2).any(|pair| GridArea::of(pair[0], pair[1]).grown(1).touches(area))
}

/// Every block of every demo is dragged 12 mm to each side, a millimeter at a time.
#[test]
fn runs_that_are_not_touched_stay_still() {
    let (mut looked, mut moved, mut most) = (0, 0, 0);
    for (name, text) in support::DEMOS {
        let start = file::read(text).unwrap();
        let before = ways(&Routes::new(&start.circuit));
        let blocks: Vec<BlockId> = start.circuit.blocks().map(|block| block.id).collect();
        for id in blocks {
            let block = start.circuit.block(id).unwrap();
            let (at, body) = (block.at, placement::bounds(block));
            let own: Vec<RunId> = start.circuit.runs_at(id).iter().map(|run| run.id).collect();
            for (dx, dy) in [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)] {
                let mut project = start.clone();
                let mut routes = Routes::new(&project.circuit);
                for millimeters in 1..=12_u8 {
                    let by = Point::new(dx * f32::from(millimeters), dy * f32::from(millimeters)).to_grid();
                    put(&mut project, id, at.moved(by.x, by.y));
                    routes.refresh(&project.circuit);
                    let now = ways(&routes);
                    let there = placement::bounds(project.circuit.block(id).unwrap());
                    let swept = body.union(there);
                    let others = before.iter().filter(|(run, _)| !own.contains(run));
                    for (run, way) in others {
                        // What the block or its runs come over must give way.
                        let in_the_way = comes_near(way, swept)
                            || own.iter().flat_map(|own| [before.get(own), now.get(own)]).flatten().any(
                                |own| {
                                    own.windows(2).any(|pair| comes_near(way, GridArea::of(pair[0], pair[1])))
                                },
                            );
                        looked += 1;
                        if now.get(run) != Some(way) {
                            assert!(in_the_way, "{name}: {run:?} moved while {id:?} was dragged by {by:?}");
                            moved += 1;
                        }
                    }
                    for run in &own {
                        most = most.max(bends(&now[run]));
                    }
                }
                put(&mut project, id, at);
                routes.refresh(&project.circuit);
                assert_eq!(ways(&routes), before, "{name}: {id:?} put back");
            }
        }
    }
    eprintln!("{moved} of {looked} ways of other runs moved, at most {most} bends in the block's own");
    assert!(moved * 50 < looked, "{moved} of {looked} ways of other runs moved");
    assert!(most <= 6, "{most} bends");
}

/// The longest run of each demo is bent by hand; then every block on which it does not land is dragged about.
#[test]
fn bends_by_hand_survive_the_moves_of_others() {
    for (name, text) in support::DEMOS {
        let mut project = file::read(text).unwrap();
        let routes = Routes::new(&project.circuit);
        let long = |way: &[GridPoint]| -> u32 {
            way.windows(2).map(|pair| pair[0].x.abs_diff(pair[1].x) + pair[0].y.abs_diff(pair[1].y)).sum()
        };
        let (id, way) = routes.iter().max_by_key(|(_, way)| long(way)).unwrap();
        let (first, last) = (way[0], way[way.len() - 1]);
        // A piece of ten steps, seven below the lower end.
        let bend = GridPoint::new(i32::midpoint(first.x, last.x), first.y.max(last.y) + 7);
        let bends = vec![bend.moved(-5, 0), bend.moved(5, 0)];
        let run = project.circuit.run(id).unwrap().clone();
        let ends = [run.from.block, run.to.block];
        apply(&mut project, Edit::SetRun(Box::new(Run { bends, ..run }))).unwrap();
        let bent = Routes::new(&project.circuit).get(id).unwrap().to_vec();
        assert!(
            bent.windows(2).any(|pair| GridArea::of(pair[0], pair[1]).contains(bend)),
            "{name}: {bent:?}"
        );
        let blocks: Vec<BlockId> = project.circuit.blocks().map(|block| block.id).collect();
        for block in blocks {
            let at = project.circuit.block(block).unwrap().at;
            for (dx, dy) in [(3, 0), (0, 5), (-4, -2), (20, 9)] {
                put(&mut project, block, at.moved(dx, dy));
                let routes = Routes::new(&project.circuit);
                let now = routes.get(id).unwrap();
                let passes = now.windows(2).any(|pair| GridArea::of(pair[0], pair[1]).contains(bend));
                assert!(passes, "{name}: {now:?} passes {bend:?}");
                if !ends.contains(&block) {
                    assert_eq!(now, bent, "{name}: {block:?} has nothing to do with it");
                }
            }
            put(&mut project, block, at);
        }
    }
}
