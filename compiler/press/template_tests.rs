//! Overrides and faults, seen from outside: whose template it is, which line is to blame, what a template can't reach.

use std::collections::BTreeMap;

use super::layout_tests::{leaf_texts, typesetter};
use super::sample;
use super::{Assets, Fault, Format, Settings, Typesetter};
use benchleaf_core::cards::beside::CloseOut;
use benchleaf_core::cards::card::{Block, Picture, Pointed};

fn user(path: &str, text: &str) -> BTreeMap<String, Vec<u8>> {
    BTreeMap::from([(path.to_string(), text.as_bytes().to_vec())])
}

fn faults_with(path: &str, text: &str) -> Vec<Fault> {
    let typesetter = Typesetter::new(&user(path, text)).unwrap();
    typesetter
        .typeset(&sample::tiny(), &Assets::default(), &Settings::default())
        .err()
        .unwrap()
}

#[test]
fn a_users_file_lies_over_ours() {
    // One word is enough: the others stay ours.
    let typesetter = Typesetter::new(&user("lib/words.typ", "#let words = (hold: \"HALT\")")).unwrap();
    let document = typesetter
        .typeset(&sample::full(), &Assets::default(), &Settings::default())
        .unwrap();
    assert!(leaf_texts(&document).concat().contains("HALT"));
}

#[test]
fn a_library_error_has_its_line() {
    let text = include_str!("../../templates/lib/cover.typ").replace(
        "#let front(t, data, whole) = {",
        "#let front(t, data, whole) = {\n  nothing-of-that-name",
    );
    let line = text
        .lines()
        .position(|line| line.contains("nothing-of-that-name"))
        .unwrap()
        + 1;
    let fault = &faults_with("lib/cover.typ", &text)[0];
    assert_eq!(
        (fault.file.as_str(), fault.line, fault.column),
        ("lib/cover.typ", line, 3)
    );
    assert!(fault.hint.contains("called from lib/card.typ"), "{fault}");
}

#[test]
fn an_error_in_printed_source_is_led_back_to_the_template() {
    let fault = &faults_with(
        "card.typ.j2",
        "= Title\n\n#no-such-function({{ card.identity.title }})\n",
    )[0];
    assert_eq!((fault.file.as_str(), fault.line), ("card.typ.j2", 3));
}

#[test]
fn each_kind_of_leaf_has_its_own_template() {
    let out = CloseOut {
        identity: sample::identity(),
        notices: vec!["Local codes first.".into()],
        temporary: vec![],
        torques: vec![],
        holds: vec![],
        states: vec![],
    };
    let own = Typesetter::new(&user("close-out.typ.j2", "\n= Ours {{ out.identity.no_such_field }}\n")).unwrap();
    let (assets, settings) = (Assets::default(), Settings::default());
    let fault = &own.typeset(&out, &assets, &settings).err().unwrap()[0];
    assert_eq!((fault.file.as_str(), fault.line), ("close-out.typ.j2", 2));
    assert!(own.typeset(&sample::tiny(), &assets, &settings).is_ok());
    let document = typesetter().typeset(&out, &assets, &settings).unwrap();
    assert!(leaf_texts(&document).concat().contains("thesetisclosedout"));
}

#[test]
fn templates_reach_no_packages_and_no_foreign_files() {
    for text in [
        "#import \"@preview/cetz:0.3.0\"",
        "#read(\"/etc/passwd\")",
        "#image(\"../x.png\")",
    ] {
        assert!(!faults_with("card.typ.j2", text).is_empty());
    }
}

#[test]
fn a_missing_image_is_a_fault_and_a_present_one_prints() {
    let mut card = sample::tiny();
    let figure = Block::Figure {
        picture: Picture {
            path: "pictures/pump.svg".into(),
            looks: String::new(),
            points: Pointed::default(),
        },
        caption: sample::text("The pump"),
        number: 1,
        span: None,
    };
    card.phases[0].runs[0].steps[0].text.push(figure);
    let typesetter = typesetter();
    let faults = typesetter
        .typeset(&card, &Assets::default(), &Settings::default())
        .err()
        .unwrap();
    assert_eq!(faults[0].file, "pictures/pump.svg");

    let mut assets = Assets::default();
    let svg = "<svg xmlns='http://www.w3.org/2000/svg' width='40' height='20'><rect width='40' height='20'/></svg>";
    assets.insert("pictures/pump.svg", svg.into());
    let document = typesetter.typeset(&card, &assets, &Settings::default()).unwrap();
    assert!(leaf_texts(&document).concat().contains("Figure1.Thepump"));
    assert!(document.export(Format::Pdf).is_ok());

    assets.insert("pictures/pump.svg", b"no image".to_vec());
    assert!(typesetter.typeset(&card, &assets, &Settings::default()).is_err());
}

#[test]
fn a_glyph_that_no_font_has_stops_the_pdf() {
    let mut card = sample::tiny();
    card.identity.title = "泵".into();
    let document = typesetter()
        .typeset(&card, &Assets::default(), &Settings::default())
        .unwrap();
    let faults = document.export(Format::Pdf).err().unwrap();
    assert!(faults[0].message.contains('泵'), "{}", faults[0]);
}
