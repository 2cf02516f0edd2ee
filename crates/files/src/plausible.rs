//! Values that are possible and still look like a mistake of units: each is questioned, and the likely mistake named.
//!
//! The bounds are wide: 16 to 30 mL of oil \[S\], releases of 13 to 22 mph and 150 to 600 rpm (common practice, no source; 30 professional
//! men: 18.6 mph and 436 rpm on average [S 2020]), balls of 8 to 16 lb for grown people.

use boardwise_units::{Feet, Mph, Pounds, Rpm};

/// Kilometres an hour in a metre a second.
const KM_H: f64 = 3.6;

/// What is odd about a speed at release.
pub fn speed(speed: Mph) -> Option<String> {
    let mph = speed.0;
    let meant = |unit: &str, is: f64| {
        if (12.0..=23.0).contains(&is) { format!("; if it is {unit}, that is {is:.1} mph") } else { String::new() }
    };
    match mph {
        _ if mph > 23.5 => Some(format!(
            "{mph} mph is faster than people bowl{}",
            meant("km/h", Mph::from_metres_per_second(mph / KM_H).0)
        )),
        _ if mph < 10.5 => Some(format!(
            "{mph} mph is slower than grown people bowl{}",
            meant("m/s", Mph::from_metres_per_second(mph).0)
        )),
        _ => None,
    }
}

/// What is odd about a rev rate.
pub fn rev_rate(rate: Rpm) -> Option<String> {
    let rpm = rate.0;
    let by_second = Rpm::from_radians_per_second(rpm).0;
    if rpm > 0.0 && rpm < 100.0 {
        let words = "is it degrees of axis rotation";
        return Some(format!("{rpm} rpm is hardly any turn: {words}, or radians a second ({by_second:.0} rpm)?"));
    }
    (rpm > 700.0).then(|| format!("{rpm} rpm is more than people turn a ball: count whole turns in a minute"))
}

/// What is odd about a ball's weight, in pounds.
pub fn weight(lb: f64) -> Option<String> {
    let from_kg = Pounds::from_kilograms(lb).0;
    (lb < 8.0).then(|| {
        let kilograms = (12.0..=16.5).contains(&from_kg);
        let meant = if kilograms { format!(": is it kilograms? {lb} kg are {from_kg:.1} lb") } else { String::new() };
        format!("{lb} lb is a ball for small children{meant}")
    })
}

/// What is odd about the oil of a whole lane, in millilitres.
pub fn oil(ml: f64) -> Option<String> {
    match ml {
        _ if ml > 0.0 && ml < 1.0 => Some(format!(
            "all strokes and readings together are {ml:.3} mL of oil, and lanes have 16 to 30: are the numbers millilitres? \
             A stroke is given in microlitres, and 1 mL is 1000 of them"
        )),
        _ if ml > 0.0 && ml < 5.0 => Some(format!("{ml:.1} mL of oil is very little: lanes have 16 to 30")),
        _ if ml > 40.0 => Some(format!(
            "{ml:.0} mL of oil is very much: lanes have 16 to 30; is a stroke there twice, or given for each board?"
        )),
        _ => None,
    }
}

/// What is odd about where the oil ends, in feet.
pub fn length(feet: f64) -> Option<String> {
    let from_m = Feet::from_metres(feet).0;
    let metres = (25.0..=55.0).contains(&from_m);
    (feet > 0.0 && feet < 20.0).then(|| {
        let meant = if metres { format!(": is it metres? {feet} m are {from_m:.0} ft") } else { String::new() };
        format!("the oil ends {feet} ft down, and patterns are 30 to 50 ft long{meant}")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_the_likely_mistake_is_named() {
        for (said, words) in [
            (speed(Mph(27.0)), "if it is km/h, that is 16.8 mph"),
            (speed(Mph(8.0)), "if it is m/s, that is 17.9 mph"),
            (rev_rate(Rpm(45.0)), "degrees of axis rotation, or radians a second (430 rpm)"),
            (weight(6.8), "is it kilograms? 6.8 kg are 15.0 lb"),
            (oil(0.02), "are the numbers millilitres?"),
            (oil(52.0), "very much"),
            (length(12.0), "is it metres? 12 m are 39 ft"),
        ] {
            assert!(said.as_ref().is_some_and(|said| said.contains(words)), "{said:?}");
        }
    }

    #[test]
    fn law_what_people_do_is_not_questioned() {
        for mph in [11.0, 14.0, 18.6, 22.0, 23.0] {
            assert_eq!(speed(Mph(mph)), None);
        }
        for rpm in [0.0, 120.0, 297.0, 436.0, 650.0] {
            assert_eq!(rev_rate(Rpm(rpm)), None);
        }
        for lb in [8.0, 12.0, 15.0, 16.0] {
            assert_eq!(weight(lb), None);
        }
        // The least that a source shows is a test pattern of 7.2 mL [S 2006].
        for ml in [0.0, 7.21, 16.0, 24.0, 30.0, 38.0] {
            assert_eq!(oil(ml), None);
        }
        for feet in [0.0, 25.0, 32.0, 45.0, 52.0] {
            assert_eq!(length(feet), None);
        }
    }
}
