//! A throw with everything that it needs, to be opened on another machine.

use boardwise_files::{Fault, Library, Shelf};

use super::{Asking, Lab, Question};
use crate::Failure;
use crate::view::{LabParcel, LabParcelFile};

/// The signs of a demo file and of one's own are the same here: what another machine has under that name may be another.
fn text_of(library: &Library, shelf: Shelf, id: &str) -> Result<String, Fault> {
    let (name, bytes) = library.fetch(shelf, id)?;
    String::from_utf8(bytes).map_err(|_| Fault::Field {
        field: "file",
        value: name,
        allowed: "must be text".to_owned(),
    })
}

/// Packs a question with the files it names.
///
/// # Errors
/// A name that is not there; what nobody can throw.
pub fn pack(lab: &Lab, library: &Library, asked: &Question) -> Result<LabParcel, Failure> {
    let release = lab.setups(library, asked)?.first().map(|setup| setup.release).unwrap_or_default();
    let mut wanted: Vec<(Shelf, &str)> = asked.lanes.iter().map(|lane| (Shelf::Lane, lane.as_str())).collect();
    wanted.extend([&asked.bowler].into_iter().chain(&asked.beside).map(|bowler| (Shelf::Bowler, bowler.as_str())));
    wanted.extend(asked.balls.iter().map(|ball| (Shelf::Bag, ball.bag.as_str())));
    let mut files: Vec<LabParcelFile> = Vec::new();
    for (shelf, id) in wanted {
        if files.iter().any(|file| file.shelf == shelf.word() && file.id == id) {
            continue;
        }
        let text = text_of(library, shelf, id)?;
        files.push(LabParcelFile { shelf: shelf.word().to_owned(), id: id.to_owned(), text });
    }
    let question = asked.parts(&release);
    let question = question.into_iter().map(|(part, value)| (part.to_owned(), value)).collect();
    Ok(LabParcel { schema: 1, question, files })
}

/// Puts what a parcel holds beside the files here, under another name where that is taken by another text; gives the question with
/// the names here. Nothing here is replaced.
///
/// # Errors
/// What is wrong with one of its files or with the question; a file that cannot be written.
pub fn unpack(library: &Library, parcel: &LabParcel) -> Result<Vec<(String, String)>, Failure> {
    let refuse = |value: &str, allowed: &str| Fault::Field {
        field: "file",
        value: value.to_owned(),
        allowed: allowed.to_owned(),
    };
    if parcel.schema != 1 {
        return Err(refuse(&parcel.schema.to_string(), "comes from a later version; update this one first").into());
    }
    // All is checked before anything is kept.
    let mut shelves = Vec::new();
    for file in &parcel.files {
        let shelf = Shelf::of(&file.shelf).filter(|shelf| *shelf != Shelf::Event);
        let shelf = shelf.ok_or_else(|| refuse(&file.shelf, "holds lanes, bowlers and bags"))?;
        library.check(shelf, &file.id, &file.text)?;
        shelves.push(shelf);
    }
    let mut names = Vec::new();
    for (file, shelf) in parcel.files.iter().zip(shelves) {
        let same = text_of(library, shelf, &file.id).is_ok_and(|text| text == file.text);
        let here = if same { file.id.clone() } else { library.keep_new(shelf, &file.id, &file.text)? };
        names.push((shelf, file.id.as_str(), here));
    }
    let named = |shelf: Shelf, id: &str| {
        let found = names.iter().find(|(of, was, _)| *of == shelf && *was == id);
        found.map_or_else(|| id.to_owned(), |(.., here)| here.clone())
    };
    let part = |(part, value): &(String, String)| {
        let value = match part.as_str() {
            "lane" => named(Shelf::Lane, value),
            "bowler" | "beside" => named(Shelf::Bowler, value),
            "ball" => match value.split_once('/') {
                Some((bag, rest)) => format!("{}/{rest}", named(Shelf::Bag, bag)),
                None => value.clone(),
            },
            _ => value.clone(),
        };
        (part.clone(), value)
    };
    let question: Vec<(String, String)> = parcel.question.iter().map(part).collect();
    asking(&question)?.question()?;
    Ok(question)
}

/// The parts of a link as a question asks them.
fn asking(parts: &[(String, String)]) -> Result<Asking, Fault> {
    let mut asking = Asking::default();
    for (part, value) in parts {
        let number = || {
            value.parse::<f64>().map(Some).map_err(|_| Fault::Field {
                field: "number",
                value: value.clone(),
                allowed: "must be a number".to_owned(),
            })
        };
        match part.as_str() {
            "lane" => asking.lane.push(value.clone()),
            "bowler" => asking.bowler = Some(value.clone()),
            "beside" => asking.beside = Some(value.clone()),
            "ball" => asking.ball.push(value.clone()),
            "laydown" => asking.laydown = number()?,
            "target" => asking.target = number()?,
            "speed" => asking.speed = number()?,
            "revs" => asking.revs = number()?,
            "rotation" => asking.rotation = number()?,
            "tilt" => asking.tilt = number()?,
            _ => {
                let allowed = "is no part of a throw".to_owned();
                return Err(Fault::Field { field: "part", value: part.clone(), allowed });
            }
        }
    }
    Ok(asking)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_throw_opens_on_another_machine_as_it_was_packed() {
        let [here, there] = [(); 2].map(|()| tempfile::TempDir::new().unwrap());
        let [here, there] = [here.path(), there.path()].map(|folder| Library::new(folder.join("kit")));
        let lane = text_of(&here, Shelf::Lane, "short-32-flat").unwrap();
        here.keep(Shelf::Lane, "mine", &lane).unwrap();
        // The other machine has another lane of that name, which stays as it is.
        let other = text_of(&here, Shelf::Lane, "house-40-walled").unwrap();
        there.keep(Shelf::Lane, "mine", &other).unwrap();
        let beside = Some("left-handed".to_owned());
        let asked = Question { lanes: vec!["mine".to_owned()], speed: Some(16.5), beside, ..Question::default() };
        let parcel = pack(&Lab::default(), &here, &asked).unwrap();
        assert_eq!(parcel.files.len(), 4, "a lane, two bowlers and a bag");
        let question = unpack(&there, &parcel).unwrap();
        let value = |part: &str| question.iter().find(|(of, _)| of == part).map(|(_, value)| value.clone()).unwrap();
        assert_eq!((value("lane").as_str(), value("speed").as_str()), ("mine-2", "16.5"));
        assert_eq!(value("beside"), "left-handed");
        assert_eq!(text_of(&there, Shelf::Lane, "mine").unwrap(), other);
        assert_eq!(text_of(&there, Shelf::Lane, "mine-2").unwrap(), lane);
        // Opened again, nothing is kept twice, and the demo kit's own are used.
        assert_eq!(unpack(&there, &parcel).unwrap(), question);
        assert_eq!(there.all(Shelf::Lane).iter().filter(|one| !one.demo).count(), 2);
        assert_eq!(there.all(Shelf::Bag).iter().filter(|one| !one.demo).count(), 0);
    }

    #[test]
    fn law_a_parcel_that_cannot_be_leaves_nothing_behind() {
        let folder = tempfile::TempDir::new().unwrap();
        let library = Library::new(folder.path().join("kit"));
        let good = pack(&Lab::default(), &library, &Question::default()).unwrap();
        let file = |shelf: &str, text: &str| LabParcelFile {
            shelf: shelf.to_owned(),
            id: "new".to_owned(),
            text: text.to_owned(),
        };
        let lane = text_of(&library, Shelf::Lane, "short-32-flat").unwrap();
        for bad in [file("lane", "no lane"), file("event", ""), file("attic", "")] {
            let parcel = LabParcel { files: vec![file("lane", &lane), bad], ..good.clone() };
            assert!(unpack(&library, &parcel).is_err());
            assert!(library.all(Shelf::Lane).iter().all(|one| one.demo));
        }
        assert!(unpack(&library, &LabParcel { schema: 2, ..good.clone() }).is_err());
        let odd = LabParcel { question: vec![("weather".to_owned(), "fair".to_owned())], ..good };
        assert!(unpack(&library, &odd).is_err());
    }
}
