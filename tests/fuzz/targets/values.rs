//! Values as an author writes them: whatever is read prints, and what it prints is read as the same.
#![no_main]

use benchleaf_domain::calc;
use benchleaf_domain::fastener::Fastener;
use benchleaf_domain::limit::Limit;
use benchleaf_domain::quantity::Measure;
use benchleaf_domain::tightening::Stage;
use benchleaf_domain::timer::Duration;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    if let Ok(measure) = Measure::parse(text) {
        let again = Measure::parse(&measure.to_string()).expect("what is printed can be read");
        assert_eq!(again.value(), measure.value(), "{text:?}");
    }
    if let Ok(limit) = Limit::parse(text) {
        assert!(Limit::parse(&limit.to_string()).is_ok(), "{text:?}");
    }
    let _ = Stage::parse(text);
    let _ = Fastener::parse(text);
    let _ = Duration::parse(text);
    if let Err(error) = calc::parse(text) {
        assert!(text.get(error.at.clone()).is_some(), "{text:?}");
    }
});
