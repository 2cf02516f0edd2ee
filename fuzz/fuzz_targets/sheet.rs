//! A sheet as it is typed in the app, from any bytes, gives a lane with a possible film and a picture, or an error about one of its rows
//! or about all of it; and never a panic.
#![no_main]

use boardwise::Failure;
use boardwise_figures::Theme;
use boardwise_files::start::SheetStart;
use boardwise_files::{Fault, parse_lane};
use boardwise_session::read::Reading;
use boardwise_units::Hand;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let Ok(sheet) = serde_json::from_slice::<SheetStart>(bytes) else { return };
    match parse_lane(SheetStart::NAMED, sheet.text().as_bytes()) {
        Ok(loaded) => {
            let reading = Reading::seen(&loaded.value, Hand::Left);
            let film = reading.film().expect("a sheet says where oil is");
            assert!(film.volume().0.is_finite() && film.volume().0 >= 0.0 && film.length.0.is_finite());
            assert!(reading.picture(Theme::default()).svg().starts_with("<svg"));
        }
        Err(Fault::InFile(mistake)) => {
            // The page names the row.
            assert!(SheetStart::row_at(mistake.line).is_none_or(|row| row <= sheet.rows.len()), "{mistake}");
            assert!(Failure::from(Fault::InFile(mistake)).shown(false).starts_with("error:"));
        }
        Err(fault) => assert!(Failure::from(fault).shown(false).starts_with("error:")),
    }
});
