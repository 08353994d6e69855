//! The routes: the handler of each address.

use std::sync::Arc;

use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use axum::middleware::from_fn_with_state;
use axum::response::{Html, IntoResponse as _, Redirect, Response};
use axum::routing::{MethodRouter, get, post};
use axum::{Extension, Router};

use super::form_post::Change;
use super::request::{NOTICE, RequestAddress};
use super::{AppState, PageAnswer, assets, lock, rooms, seen, sent_forms, sheet};
use super::{Fields, PageError, PageRequest, Reply};

/// The function that shows a page.
type PageHandler = fn(&PageRequest<'_>) -> PageAnswer;
/// The function that records what a form asks for.
pub(super) type FormHandler = fn(&PageRequest<'_>, &Fields) -> PageAnswer;

/// The routes of all pages, each behind [`lock::guard`].
pub(super) fn router(state: &Arc<AppState>) -> Router {
    Router::new()
        .route("/", form(rooms::today::show, rooms::today::record))
        .route("/freezer", page(rooms::freezer::show))
        .route(
            "/freezer/{batch}/serve",
            form(rooms::serve::show, rooms::serve::record),
        )
        .route(
            "/freezer/{batch}/discard",
            form(rooms::discard::show, rooms::discard::record),
        )
        .route("/freezer/past", form_route(rooms::discard::record_past))
        .merge(cook())
        .route("/mix", form(rooms::mix::show, rooms::mix::record))
        .route("/mix/figures", form_route(rooms::mix::figures))
        .merge(rooms::week::routes())
        .merge(rooms::history::routes())
        .merge(rooms::household::routes())
        .route("/tastes", form(rooms::tastes::show, rooms::tastes::clear))
        .route("/money", form(rooms::money::show, rooms::money::record))
        .route("/visit", form(rooms::visit::show, rooms::visit::ask))
        .route("/visit/page", page(rooms::visit::sheet))
        .route("/visit/done", form_route(rooms::visit::took_place))
        .route(
            "/visit/questions/{question}",
            form(rooms::doctors_answer::show, rooms::doctors_answer::record),
        )
        .route("/freezer/labels", page(rooms::print::labels))
        .route("/foods", page(rooms::foods::find))
        .merge(rooms::import::routes())
        .route("/foods/found", page(rooms::food_search::listed))
        .route("/foods/{food}", page(rooms::food::show))
        .route(
            rooms::catch_up::HERE,
            form(rooms::catch_up::show, rooms::catch_up::record),
        )
        .route("/more", page(rooms::more::show))
        .route("/undo", form_route(rooms::undo::take_back))
        .merge(rooms::start::routes())
        .merge(rooms::pair::routes())
        .merge(assets::routes())
        .fallback(async || PageError::NotFound)
        .method_not_allowed_fallback(async || {
            PageError::Refused(
                StatusCode::METHOD_NOT_ALLOWED,
                "This page is not asked in that way.",
            )
        })
        .layer(from_fn_with_state(Arc::clone(state), lock::guard))
        .with_state(Arc::clone(state))
}

/// The routes of the room Cook, where recipes are written, tried and frozen.
fn cook() -> Router<Arc<AppState>> {
    use rooms::cook;
    Router::new()
        .route("/cook", page(cook::show))
        .route("/cook/write", form(cook::write::show, cook::write::answer))
        .route("/cook/write/figures", form_route(cook::write::figures))
        .route("/cook/found", page(rooms::food_search::offered))
        .route("/cook/former", form_route(cook::opened::put_back))
        .route("/cook/recipe/{recipe}", page(cook::recipe::show))
        .route(
            "/cook/recipe/{recipe}/figures",
            form_route(cook::recipe::figures),
        )
        .route("/cook/recipe/{recipe}/change", page(cook::write::change))
        .route(
            "/cook/recipe/{recipe}/freeze",
            form(cook::freeze::show, cook::freeze::record),
        )
        .route(
            "/cook/recipe/{recipe}/iron",
            form(cook::raise::show, cook::raise::save),
        )
        .route("/cook/recipe/{recipe}/card", page(rooms::print::card))
}

/// The route of a page, which reads the book and changes nothing in it.
pub(super) fn page(show: PageHandler) -> MethodRouter<Arc<AppState>> {
    get(
        move |State(state): State<Arc<AppState>>, address: RequestAddress| async move {
            let work = move |state: &AppState| {
                let request = PageRequest::new(state, address)?;
                let reply = match seen::canonical_address(&request) {
                    Some(address) => Reply::See(address),
                    None => show(&request)?,
                };
                Ok((reply, seen::cookie(&request)))
            };
            match state.at_the_book(work).await {
                Ok((reply, cookie)) => {
                    let mut response = response(&state, Ok(reply));
                    let cookie = cookie.and_then(|cookie| HeaderValue::from_str(&cookie).ok());
                    let headers = response.headers_mut();
                    headers.extend(cookie.map(|cookie| (header::SET_COOKIE, cookie)));
                    response
                }
                Err(fault) => response(&state, Err(fault)),
            }
        },
    )
}

/// The route of a form that is sent to record a change.
pub(super) fn form_route(record: FormHandler) -> MethodRouter<Arc<AppState>> {
    post(
        move |State(state): State<Arc<AppState>>,
              address: RequestAddress,
              Change(fields): Change| async move {
            let work = move |state: &AppState| {
                let request = PageRequest::of_form(state, address, &fields)?;
                match request.recorded_before()? {
                    Some(before) => Ok(before),
                    None => sent_forms::once(&request, &fields, record),
                }
            };
            let answer = state.at_the_book(work).await;
            response(&state, answer)
        },
    )
}

/// The route of a page with a form: shown on GET, recorded on POST.
pub(super) fn form(show: PageHandler, record: FormHandler) -> MethodRouter<Arc<AppState>> {
    page(show).merge(form_route(record))
}

/// The HTTP response of an answer; details that the page must not show go to the terminal.
pub(super) fn response(state: &AppState, answer: PageAnswer) -> Response {
    match answer {
        Ok(Reply::Page(page)) => Html(page).into_response(),
        Ok(Reply::Wrong(page)) => (StatusCode::UNPROCESSABLE_ENTITY, Html(page)).into_response(),
        Ok(Reply::Text(text)) => text.into_response(),
        Ok(Reply::Sheet(page, back)) => {
            let page = sheet::with_links(&page, &back);
            let own = lock::OwnStyle::of(&page);
            (Extension(own), Html(page)).into_response()
        }
        Ok(Reply::See(path)) => Redirect::to(&path).into_response(),
        Ok(Reply::Done(path, notice)) => match state.notices.keep(notice) {
            Ok(name) => {
                let separator = if path.contains('?') { '&' } else { '?' };
                Redirect::to(&format!("{path}{separator}{NOTICE}={name}")).into_response()
            }
            Err(_) => Redirect::to(&path).into_response(),
        },
        Err(fault) => {
            state.tell_of(&fault);
            fault.into_response()
        }
    }
}
