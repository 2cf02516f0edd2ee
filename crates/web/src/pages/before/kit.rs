//! A file of the kit: its fields, its text, and what it comes to.

use boardwise_units::Hand;
use maud::{Markup, html};

use super::super::words::explained;
use super::{Room, page, shelf_title};
use crate::before::What;
use boardwise_files::form::{Column, Filled, Form, Kind};
use boardwise_files::{Fault, KitBag, KitEvent, parse_bag, parse_event, parse_lane};
use boardwise_files::{Library, Shelf};
use boardwise_session::event::{SURFACE_WORK, heading, surface_cautions};
use boardwise_session::read::Reading;

/// Most fields of a row that stands in a table; rows of more are cards.
const IN_A_TABLE: usize = 6;

/// What a file starts as.
pub enum From {
    /// The user's own of this name.
    Own(String),
    /// The demo kit's of this name.
    Demo(String),
    /// A usual one.
    New,
}

/// The page.
pub fn file(shelf: Shelf, from: &From, text: &str, library: &Library) -> Markup {
    let (named, own) = match from {
        From::Own(id) => (id.as_str(), Some(id.as_str())),
        From::Demo(id) => (id.as_str(), None),
        From::New => (shelf.word(), None),
    };
    let (title, beside) = match from {
        From::Own(id) => (id.clone(), ""),
        From::Demo(id) => (id.clone(), "from the demo kit, to be saved under another name"),
        From::New => (format!("New {}", shelf.word()), "begun with usual numbers, to be made yours"),
    };
    let known: Vec<String> = library.all(shelf).into_iter().map(|kept| kept.id).collect();
    let inside = html! {
        p.trail { a href="/before" { "Before" } " / " (shelf_title(shelf)) }
        h1 { span #title { (title) } @if !beside.is_empty() { " " span.quiet { (beside) } } }
        p #restored hidden { "Here is what you had changed and not saved. " button #discard type="button" { "Put back what was saved" } }
        div #bench data-shelf=(shelf.word()) data-own=(own.unwrap_or_default()) data-from=(named) {
            form #fields autocomplete="off" aria-label="Fields" {}
            aside aria-label="What it comes to" {
                @if shelf == Shelf::Lane {
                    div.row.small {
                        label.chip { input type="radio" name="view" value="board" checked; span { "By board" } }
                        label.chip { input type="radio" name="view" value="above"; span { "From above" } }
                        label.chip { input #left type="checkbox"; span { "Left-handed" } }
                    }
                }
                div #look aria-live="polite" {}
                @if shelf == Shelf::Lane {
                    div #hand hidden { (by_hand()) }
                    figure #picture aria-live="off" {}
                    p #how .quiet hidden { "Drag the handles, or give one the focus and use the arrow keys (with shift, five at a time). Escape puts back what is being dragged." }
                }
                ul #warnings {}
            }
        }
        details #plain {
            summary { "As text" }
            p.quiet { "The file itself. The fields write into it and leave comments and all else in it alone; a row that is removed takes the comment above it along." }
            textarea #text spellcheck="false" aria-label="The file as text" rows="18" { "\n" (text) }
        }
        div #foot {
            div #fault role="alert" hidden {
                p { b { "Not yet right. " } span #words {} }
                p #says { code {} }
                p #help {}
                button #there type="button" hidden { "Show the line" }
            }
            form #save {
                label for="name" { "Save as" }
                input #name name="name" value=(own.unwrap_or_default()) list="known" maxlength="40" autocomplete="off" autocapitalize="none" placeholder={ "my-" (named) };
                datalist #known { @for id in &known { option value=(id) {} } }
                button type="submit" .main { "Save" }
                button #replace type="button" hidden { "Replace it" }
                button #download type="button" { "Download" }
                label.button { "Open a file" input #open type="file" accept=".toml,text/plain"; }
                p #saved role="status" {}
            }
        }
    };
    page(&title, Room::Before, &["before-kit.js"], &inside)
}

/// What stands above a lane's picture while something on it can be taken hold of.
fn by_hand() -> Markup {
    html! {
        div.row {
            label { span #kind {} select #which {} }
            label #oil { span { "µL, whole stroke" } input #amount inputmode="decimal" autocomplete="off"; }
        }
        figure #film hidden {}
    }
}

/// The fields with what stands in them.
pub fn fields(form: &Form, library: &Library) -> Markup {
    html! {
        @for filled in form.parts.iter().filter(|filled| shown(form, filled)) {
            @if filled.part.list { (list(filled, library)) } @else { (plain(filled, library)) }
        }
    }
}

/// Whether a part has a place on the page: one that would be refused beside what is there has none.
fn shown(form: &Form, filled: &Filled) -> bool {
    let there = filled.rows.iter().any(|(_, values)| values.iter().any(Option::is_some));
    there || filled.part.expected && !form.shuts_out(filled.part)
}

fn plain(filled: &Filled, library: &Library) -> Markup {
    html! {
        fieldset.grid {
            legend { (filled.part.title) }
            @for (path, values) in &filled.rows {
                @for (column, value) in filled.part.columns.iter().zip(values) { (labelled(path, column, value.as_deref(), library)) }
            }
        }
    }
}

fn list(filled: &Filled, library: &Library) -> Markup {
    let part = filled.part;
    let remove = |row: usize| {
        html! { button.remove type="button" data-remove=(part.key) data-row=(row) aria-label={ "Remove " (part.one) " " (row + 1) } { "Remove" } }
    };
    html! {
        fieldset {
            legend { (part.title) }
            @if filled.rows.is_empty() {
                p.quiet { "None." }
            } @else if part.columns.len() <= IN_A_TABLE {
                table.edit {
                    thead { tr { @for column in part.columns { th scope="col" { (explained(column.label)) } } th { span.unseen { "Remove" } } } }
                    tbody {
                        @for (k, (path, values)) in filled.rows.iter().enumerate() {
                            tr {
                                @for (column, value) in part.columns.iter().zip(values) {
                                    td data-label=(column.label) {
                                        (input(path, column, value.as_deref(), Some(&format!("{} {}, {}", part.one, k + 1, column.label)), library))
                                    }
                                }
                                td { (remove(k)) }
                            }
                        }
                    }
                }
            } @else {
                @for (k, (path, values)) in filled.rows.iter().enumerate() {
                    details.card data-card=(k) {
                        summary { (values.first().and_then(Option::as_deref).unwrap_or(part.one)) }
                        div.grid {
                            @for (column, value) in part.columns.iter().zip(values) { (labelled(path, column, value.as_deref(), library)) }
                        }
                        (remove(k))
                    }
                }
            }
            button type="button" data-add=(part.key) { "Add a " (part.one) }
        }
    }
}

fn name_of(path: &str, column: &Column) -> String {
    if path.is_empty() { column.key.to_owned() } else { format!("{path}.{}", column.key) }
}

fn labelled(path: &str, column: &Column, value: Option<&str>, library: &Library) -> Markup {
    html! { label { span { (column.label) } (input(path, column, value, None, library)) } }
}

fn input(path: &str, column: &Column, value: Option<&str>, says: Option<&str>, library: &Library) -> Markup {
    let name = name_of(path, column);
    let choices: Vec<(String, String)> = match column.kind {
        Kind::OneOf(words) => words.iter().map(|word| ((*word).to_owned(), word.replace('-', " "))).collect(),
        Kind::Yes => vec![("true".to_owned(), "yes".to_owned())],
        Kind::Named(shelf) => library.all(shelf).into_iter().map(|kept| (kept.id.clone(), kept.id)).collect(),
        Kind::Number | Kind::Numbers | Kind::Words => {
            let mode = if matches!(column.kind, Kind::Number) { "decimal" } else { "text" };
            let wide = matches!(column.kind, Kind::Numbers);
            return html! {
                input.wide[wide] name=(name) value=(value.unwrap_or_default()) inputmode=(mode) aria-label=[says];
            };
        }
    };
    html! {
        select name=(name) aria-label=[says] {
            option value="" selected[value.is_none()] { "not given" }
            // A value that is none of them stands there too, or it would be lost.
            @if let Some(other) = value.filter(|value| choices.iter().all(|(word, _)| word != value)) {
                option value=(other) selected { (other) }
            }
            @for (word, words) in &choices {
                option value=(word) selected[value == Some(word)] { (words) }
            }
        }
    }
}

/// What a text comes to; beside a lane its picture stands too.
///
/// # Errors
/// What is wrong with it.
pub fn look(shelf: Shelf, library: &Library, name: &str, text: &str) -> Result<Markup, Fault> {
    let bytes = text.as_bytes();
    Ok(match shelf {
        Shelf::Lane => numbers(&Reading::seen(&parse_lane(name, bytes)?.value, Hand::Right)),
        Shelf::Bag => surfaces(&parse_bag(name, bytes)?.value),
        Shelf::Bowler => html! {
            p.quiet { "The " (explained("spread")) " says how far shots meant alike differ; it decides how much room a line needs. Measure some twenty shots at one target." }
        },
        Shelf::Event => {
            let fetch = |what, id: &str| library.fetch(Shelf::of(what).unwrap_or(Shelf::Bowler), id);
            whom_and_where(&parse_event(name, bytes, &fetch)?.value)
        }
    })
}

fn surfaces(bag: &KitBag) -> Markup {
    html! {
        h2 { "Surfaces as they are now" }
        table.figures {
            thead { tr { th scope="col" .word { "ball" } th scope="col" { (explained("Ra, µm")) } th scope="col" { "known to" } } }
            tbody {
                @for one in bag.balls() {
                    tr {
                        th scope="row" { (one.ball.id) }
                        td { (format!("{:.2}", one.ball.surface.ra_m * 1e6)) }
                        td { "± " (format!("{:.0}%", 100.0 * one.ball.surface.log_sd)) }
                    }
                }
            }
        }
        p.quiet { "After the games since each was prepared; an estimate. A grit says little about roughness: measure Ra where you can." }
        (caution(SURFACE_WORK, "The event's rules say when a surface may be changed; its officials decide."))
    }
}

fn whom_and_where(event: &KitEvent) -> Markup {
    html! {
        @for pair in &event.pairs {
            dl { @for (what, words) in heading(event, pair) { dt { (what) } dd { (words) } } }
        }
        (caution(&surface_cautions(event.surface_changes), ""))
        p.row #ask { @for what in What::ALL { a.button data-ask href=(what.path()) { (what.title()) } } }
        p.quiet { "These ask about the event as it is saved." }
    }
}

fn numbers(reading: &Reading) -> Markup {
    let Some(film) = reading.film() else {
        return html! { p.quiet { "Known by its friction: there is no oil to measure." } };
    };
    html! {
        dl.figures {
            div { dt { (explained("Length")) } dd { (format!("{:.1} ft", film.length.0)) } }
            div { dt { (explained("Volume")) } dd { (format!("{:.2} mL", film.volume().0 / 1000.0)) } }
            div { dt { (explained("Ratio")) } dd {
                @match film.ratio() { Some(ratio) => (format!("{ratio:.1} : 1")), None => "no oil outside" }
            } }
            div { dt { (explained("Exit, rule of 31")) } dd { "board " (format!("{:.1}", film.rule_of_31().0)) } }
        }
        p.quiet { "Ratio: boards 18-22 to 3-7 of both sides." }
    }
}

/// A caution, set off from what is advised.
pub fn caution(words: &str, more: &str) -> Markup {
    html! { p.caution role="note" { (words) " " (more) } }
}
