"""Other forms of cloth side by side, in words, as the page shows them."""

from __future__ import annotations

from dataclasses import asdict

from api.pattern.alternates import usual_form
from api.pattern.checking import checked_forms
from api.pattern.cut_book import CutBook
from api.pattern.plan import Plan
from api.web.wire.cutting_answers import FormRow, FormsOut
from api.wording.alternates import form_words
from api.wording.pieces import hand


def forms_out(plan: Plan, book: CutBook) -> FormsOut:
    """Return what every form of cloth does for the blocks of a plan, seen by the judges."""
    told, usual = hand(plan, book), usual_form(plan)
    rows = [
        FormRow(
            kind=each.form.kind,
            along=each.along,
            usual=each.form == usual,
            chosen=each.form.kind in plan.brief.sewing.alternates,
            **asdict(form_words(each, told)),
        )
        for each in checked_forms(plan, book)
    ]
    return FormsOut(rows=rows)
