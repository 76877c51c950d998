import { pdfResponse } from '@/app/_server/pdf-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { labelsRead } from '@/lib/db/label.ts'
import { labelAsked } from '@/lib/label/schema.ts'
import { labelPdf } from '@/lib/picture/label-pdf.ts'
import { Refusal } from '@/lib/refusal.ts'

/** Some two hundred sheets; more of them would keep the server busy for minutes. */
const PRINTED_MAX = 5000

/** The labels that the screen shows, as a PDF in the size of its paper. */
export function GET(request: Request): Promise<Response> {
  return routeAnswer('labels', async () => {
    await routeGuard(request, null)
    const asked = labelAsked(Object.fromEntries(new URL(request.url).searchParams))
    const labels = await labelsRead({ ...asked, storeId: asked.store, orderId: asked.order })
    if (labels.length === 0) throw new Refusal('label/none')
    const count = labels.length * asked.copies
    if (count > PRINTED_MAX) throw new Refusal('label/too-many', { count, most: PRINTED_MAX })
    return pdfResponse('labels.pdf', await labelPdf(labels, asked))
  })
}
