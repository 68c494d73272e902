//! The work of one frame of the window, run and tessellated, with the whole sheet in view: 60, 2,000 and 10,000
//! blocks, as copies of the cabin. Once while the pointer moves over the sheet, once while the view moves, which paints
//! all of it anew, and once while a block is dragged, which judges the whole design anew.
#![expect(clippy::expect_used, clippy::panic, reason = "a bench stops when its input is gone")]

use criterion::measurement::WallTime;
use criterion::{BatchSize, BenchmarkGroup, Criterion, criterion_group, criterion_main};
use eframe::App as _;
use egui::{
    Context, Event, Modifiers, MouseWheelSource, MouseWheelUnit, PointerButton, Pos2, RawInput, Rect,
    TouchPhase, pos2, vec2,
};
use lineside::engine::Engine;
use lineside::journal::Journals;
use lineside::settings::Settings;
use lineside::thumbnails::Thumbnails;
use lineside::window::areas::Area;
use lineside::window::ask::{Answer, Asker, Question};
use lineside::window::held::Held;
use lineside::window::{App, Start};
use lineside_core::{file, testing};
use std::hint::black_box;
use std::sync::Arc;

const CABIN: &str = include_str!("../../../assets/demos/cabin.lineside");

struct Nobody;

impl Asker for Nobody {
    fn which_file(&self, _: &Question) -> Answer {
        Answer::Cancelled
    }
}

/// A window without a screen.
struct Window {
    ctx: Context,
    app: App,
    frame: eframe::Frame,
    time: f64,
}

impl Window {
    fn open(engine: &Arc<Engine>, blocks: usize) -> Self {
        let one = file::read(CABIN).expect("the demo reads");
        let count = u32::try_from(blocks.div_ceil(one.circuit.block_count())).expect("a small number");
        let ctx = Context::default();
        let start = Start {
            project: Some(testing::copies(&one, count)),
            file: None,
            settings: Settings::default(),
            asker: Arc::new(Nobody),
            engine: Arc::clone(engine),
            journals: Journals::default(),
            own_stock: None,
            thumbnails: Thumbnails::default(),
        };
        let app = App::new(&ctx, start);
        let mut window = Self { ctx, app, frame: eframe::Frame::_new_kittest(), time: 0.0 };
        // What is drawn and laid out once comes first.
        for step in 0..8 {
            window.run(vec![Event::PointerMoved(pos2(600.0, 400.0 + step as f32))]);
        }
        window
    }

    /// One frame: what egui runs and what it tessellates.
    fn run(&mut self, events: Vec<Event>) {
        self.time += 1.0 / 60.0;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(1440.0, 900.0))),
            time: Some(self.time),
            events,
            ..RawInput::default()
        };
        let Self { ctx, app, frame, .. } = self;
        app.logic(ctx, frame);
        let output = ctx.run_ui(input, |ui| app.ui(ui, frame));
        black_box(ctx.tessellate(output.shapes, output.pixels_per_point));
    }

    /// Takes up the first block that lies under the pointer.
    fn take_up(&mut self) -> Pos2 {
        let blocks = self.app.document.project.circuit.block_count();
        for row in 0..200 {
            for column in 0..200 {
                let at = pos2(300.0 + 4.0 * column as f32, 100.0 + 3.5 * row as f32);
                self.run(vec![Event::PointerMoved(at)]);
                self.run(vec![press(at)]);
                self.run(vec![Event::PointerMoved(at + vec2(9.0, 0.0))]);
                self.run(vec![Event::PointerMoved(at + vec2(12.0, 0.0))]);
                if matches!(self.app.state.held, Some(Held::Blocks { .. })) {
                    assert_eq!(blocks, self.app.document.project.circuit.block_count());
                    return at;
                }
                self.run(vec![release(at)]);
                self.run(vec![Event::Key {
                    key: egui::Key::Escape,
                    physical_key: None,
                    pressed: true,
                    repeat: false,
                    modifiers: Modifiers::NONE,
                }]);
            }
        }
        panic!("no block lies under the pointer anywhere")
    }
}

fn press(pos: Pos2) -> Event {
    Event::PointerButton { pos, button: PointerButton::Primary, pressed: true, modifiers: Modifiers::NONE }
}

fn release(pos: Pos2) -> Event {
    Event::PointerButton { pos, button: PointerButton::Primary, pressed: false, modifiers: Modifiers::NONE }
}

/// The pointer moves over the window.
fn look(group: &mut BenchmarkGroup<'_, WallTime>, name: String, window: &mut Window) {
    let mut step = 0;
    group.bench_function(name, |bencher| {
        bencher.iter_batched(
            || {
                step = (step + 1) % 40;
                vec![Event::PointerMoved(pos2(600.0 + step as f32, 400.0))]
            },
            |events| window.run(events),
            BatchSize::SmallInput,
        );
    });
}

fn frames(criterion: &mut Criterion) {
    let engine = Arc::new(Engine::load().expect("the tables read"));
    let mut group = criterion.benchmark_group("frame");
    for blocks in [60, 2_000, 10_000_usize] {
        if blocks > 1_000 {
            group.sample_size(20);
        }
        let mut window = Window::open(&engine, blocks);
        let count = window.app.document.project.circuit.block_count();
        look(&mut group, format!("look {count} blocks"), &mut window);
        let mut step = 0;
        group.bench_function(format!("pan {count} blocks"), |bencher| {
            bencher.iter_batched(
                || {
                    step += 1;
                    let there = if step % 2 == 0 { 6.0 } else { -6.0 };
                    vec![Event::MouseWheel {
                        unit: MouseWheelUnit::Point,
                        delta: vec2(there, there),
                        phase: TouchPhase::Move,
                        source: MouseWheelSource::Trackpad,
                        modifiers: Modifiers::NONE,
                    }]
                },
                |events| window.run(events),
                BatchSize::SmallInput,
            );
        });
        if blocks > 100 {
            continue;
        }
        let from = window.take_up();
        group.bench_function(format!("drag in {count} blocks"), |bencher| {
            bencher.iter_batched(
                || {
                    step = (step + 1) % 40;
                    vec![Event::PointerMoved(from + vec2(12.0 + 4.0 * step as f32, 0.0))]
                },
                |events| window.run(events),
                BatchSize::SmallInput,
            );
        });
    }
    areas(&mut group, &engine);
    group.finish();
}

/// The Brief and the Year of the cabin while the pointer moves over them.
fn areas(group: &mut BenchmarkGroup<'_, WallTime>, engine: &Arc<Engine>) {
    for (name, area) in [("Brief", Area::Brief), ("Year", Area::Year)] {
        let mut window = Window::open(engine, 20);
        window.app.state.panels.year.set_years(0);
        window.app.state.area = area;
        window.run(Vec::new());
        while !window.app.state.panels.year.is_at_rest() {
            window.run(Vec::new());
        }
        look(group, format!("look at the {name}"), &mut window);
    }
}

criterion_group!(benches, frames);
criterion_main!(benches);
