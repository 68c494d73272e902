//! A review on paper and as text: every word is there, nothing runs over the edge, pages are numbered.

use lineside_drawing::display_list::{Item, Shape};
use lineside_pack::review::{Entry, Line, Paper, Review, Section, Sign, html, pages, pdf, text};

fn review(findings: usize) -> Review {
    let entry = |number: usize| Entry {
        sign: match number % 3 {
            0 => Sign::Danger,
            1 => Sign::Correction,
            _ => Sign::Advice,
        },
        title: format!("Finding {number}: cold strings destroy the input of C{number} <& more>"),
        facts: vec![
            ("found".to_owned(), "172.10 V".to_owned()),
            ("clause".to_owned(), "a clause that is long enough to be broken into lines ".repeat(4)),
        ],
        working: (0..6)
            .map(|line| Line {
                meaning: format!("cold open-circuit voltage of the string, {line}"),
                formula: "V = n × Voc × (1 + β/100 × (T − 25 °C))".to_owned(),
                figure: "172.10 V".to_owned(),
                origin: "S1 nameplate".to_owned(),
            })
            .collect(),
        remedies: vec!["3 modules in series in S1, S2".to_owned()],
    };
    Review {
        title: "Quarry Road Workshop".to_owned(),
        facts: vec![("rule set".to_owned(), "NEC 2023".to_owned())],
        summary: "26 dangers, 38 corrections, 10 advice".to_owned(),
        sections: vec![Section {
            title: "Findings".to_owned(),
            remark: String::new(),
            entries: (1..=findings).map(entry).collect(),
        }],
        cautions: vec!["Not an approval.".to_owned()],
        foot: "Quarry Road Workshop".to_owned(),
    }
}

#[test]
fn every_word_stands_within_the_page_and_pages_are_numbered() {
    for paper in [Paper::A4, Paper::Letter] {
        let (width, height) = paper.size();
        let review = review(40);
        let drawn = pages(&review, paper);
        assert!(drawn.len() > 5);
        let mut titles = 0;
        for (number, page) in drawn.iter().enumerate() {
            let mut lowest: f32 = 0.0;
            let mut numbered = false;
            for item in page.list.items() {
                let bounds = item.bounds();
                assert!(bounds.left >= 10.0 && bounds.right <= width - 10.0, "{item:?}");
                assert!(bounds.top >= 10.0 && bounds.bottom <= height - 5.0, "{item:?}");
                let Shape::Text(text) = &item.shape else { continue };
                titles += usize::from(text.content.starts_with("Finding "));
                if text.content == format!("page {} of {}", number + 1, drawn.len()) {
                    numbered = true;
                } else if text.content != review.foot {
                    lowest = lowest.max(bounds.bottom);
                }
            }
            assert!(numbered, "page {}", number + 1);
            assert!(lowest < height - 15.0, "nothing runs into the foot");
        }
        assert_eq!(titles, 40);
    }
}

#[test]
fn lines_of_a_page_do_not_lie_on_one_another() {
    for page in pages(&review(12), Paper::A4) {
        let mut texts: Vec<_> =
            page.list.items().filter(|it| matches!(it.shape, Shape::Text(_))).map(Item::bounds).collect();
        texts.sort_by(|a, b| a.top.total_cmp(&b.top));
        for (number, a) in texts.iter().enumerate() {
            for b in texts.iter().skip(number + 1) {
                let apart = b.top >= a.bottom - 0.9 || b.left >= a.right - 0.05 || a.left >= b.right - 0.05;
                assert!(apart, "{a:?} and {b:?}");
            }
        }
    }
}

#[test]
fn the_same_review_gives_the_same_bytes_in_every_form() {
    let review = review(3);
    let bytes = pdf(&review, Paper::Letter, "en").unwrap();
    assert!(bytes.starts_with(b"%PDF-") && bytes == pdf(&review, Paper::Letter, "en").unwrap());
    let page = html(&review, "en");
    assert!(page.contains("&lt;&amp; more&gt;") && !page.contains("<& more>"));
    let plain = text(&review);
    for words in ["▲ ", "■ ", "○ ", "172.10 V", "3 modules in series in S1, S2", "Not an approval."] {
        assert!(plain.contains(words) && page.contains(words), "{words}");
    }
}
