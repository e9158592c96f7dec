"""Papers as PDF files. A shaper prints what goes to the bench; what speaks of money is the owner's."""

import tempfile
from collections.abc import Iterable

from django.http import FileResponse, HttpRequest
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from estimates.paper.document import Document, write
from estimates.paper.facts.imprint import imprint_of
from estimates.paper.facts.job_set import job_set
from estimates.paper.facts.panels import job_with_customer, panel_at, short_address
from estimates.paper.facts.work_order import with_all, work_orders
from estimates.paper.work_order import WorkOrderPaper
from jobs.models import Panel

IN_MEMORY = 4 * 1024 * 1024  # a larger file waits on the disk while it is sent


def pdf_response(documents: Iterable[Document], request: HttpRequest, title: str, name: str) -> FileResponse:
    """Make a PDF file and send it in pieces, to be shown in the browser under a name that says what it is."""
    file = tempfile.SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115, the response closes it
    try:
        write(documents, file, title=title, imprint=imprint_of(request.shop))
    except BaseException:
        file.close()
        raise
    size = file.tell()
    file.seek(0)
    response = FileResponse(file, content_type="application/pdf", filename=f"{slugify(name) or 'paper'}.pdf")
    response.headers["Content-Length"] = str(size)
    response.headers["Cache-Control"] = "private, no-store"
    return response


@require_safe
def work_order(request: HttpRequest, number: str, position: int) -> FileResponse:
    shown = panel_at(number, position)
    panels = list(with_all(Panel.objects.filter(pk=shown.pk)))
    imprint = imprint_of(request.shop)
    orders = work_orders(panels, request.shop, short_address(request))
    papers = [WorkOrderPaper(imprint, order) for order in orders]
    return pdf_response(papers, request, papers[0].title, f"work-order-{shown.mark}")


@require_safe
def job_work_orders(request: HttpRequest, number: str) -> FileResponse:
    """Every panel's work order, a cover sheet in front."""
    job = job_with_customer(number)
    _, papers = job_set(job, request.shop, short_address(request))
    return pdf_response(papers, request, f"Work orders {job}", f"work-orders-{job.number}")
