//! A published dataset is imported, or one is dropped, while the page stays usable.

mod failing;
mod import_status;
mod work;

use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::post;

use crate::food::FoodData;
use crate::web::delivery::{Delivery, Lost};
use crate::web::imports::{Stage, Turn};
use crate::web::router::{form_route, page, response};
use crate::web::{AppState, Fields, Layout, PageAnswer, PageError, PageRequest, PageResult, Reply};
pub(super) use import_status::ImportStatus;
use work::Task;

#[derive(Template)]
#[template(path = "web/import.html")]
struct ImportPage {
    layout: Layout,
    part: ImportStatus,
}

/// The routes that import a dataset and drop one.
pub(in crate::web) fn routes() -> Router<Arc<AppState>> {
    Router::new()
        .route("/foods/import", page(show).merge(post(take)))
        .route("/foods/drop", form_route(drop_source))
}

/// Shows the progress of the import, or the form that starts one.
fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&ImportPage {
        layout: Layout::of(request, "Read in a dataset", "/foods"),
        part: ImportStatus::of(request),
    })
}

/// The inputs of an import from the household.
struct Ready {
    data: FoodData,
    before: FoodData,
    folder: PathBuf,
    on: String,
}

impl Ready {
    fn new(state: &AppState) -> PageResult<Self> {
        let place = state.place();
        place.book()?;
        let words = "This is an invented household, and what is done here is thrown away: no dataset is read in. Leave the demo first.";
        let in_demo = || PageError::Refused(StatusCode::CONFLICT, words);
        Ok(Self {
            data: state.food_data_to_change(&place).ok_or_else(in_demo)?,
            before: state.food_data(&place),
            folder: place.folder.clone(),
            on: state.today(&place).to_string(),
        })
    }

    fn begin(&self, state: &AppState, name: String, stage: Stage) -> PageResult<Turn> {
        let words =
            "Another dataset is being read in. Wait until it is done, and send this one then.";
        let turn = state.imports.begin(name, stage, self.before.clone());
        turn.ok_or_else(|| PageError::Refused(StatusCode::CONFLICT, words))
    }
}

/// Receives a file, and starts its import.
async fn take(State(state): State<Arc<AppState>>, delivery: Delivery) -> Response {
    let taken = taken(&state, delivery).await;
    response(&state, taken)
}

async fn taken(state: &Arc<AppState>, delivery: Delivery) -> PageAnswer {
    let ready = state.at_the_book(Ready::new).await?;
    let stated = delivery.stated;
    let receiving = Stage::Receiving(0, stated);
    let mut turn = ready.begin(state, delivery.name.clone(), receiving)?;
    let most = state.clients.dataset;
    let file = match unnamed(&ready.folder) {
        Ok(file) => {
            let progress = |done| turn.at(Stage::Receiving(done, stated));
            delivery.into_file(file, most, progress).await
        }
        Err(error) => Err(Lost::Disk(error)),
    };
    match file {
        Ok(file) => work::start(
            Task::ReadIn(file),
            ready.data,
            ready.on,
            turn,
            state.teller(),
        ),
        Err(lost) => turn.at(failing::lost(&lost, state.teller())),
    }
    Ok(Reply::See("/foods/import".into()))
}

/// A file without a name in the folder of the book, of which nothing remains after it is closed.
fn unnamed(folder: &Path) -> std::io::Result<File> {
    tempfile::tempfile_in(folder)
}

/// Drops a dataset that was read in.
fn drop_source(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    if !request.address.is_local {
        let words = "A dataset is dropped on the computer itself on which the page was started.";
        return Err(PageError::Refused(StatusCode::FORBIDDEN, words));
    }
    let ready = Ready::new(request.state)?;
    let source = fields.text("source").to_string();
    let turn = ready.begin(request.state, String::new(), Stage::Indexing)?;
    let teller = request.state.teller();
    work::start(Task::Drop(source), ready.data, ready.on, turn, teller);
    Ok(Reply::See("/foods/import".into()))
}
