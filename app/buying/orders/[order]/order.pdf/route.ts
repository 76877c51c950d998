import { pdfResponse } from '@/app/_server/pdf-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { orderLetter } from '@/lib/db/order-mail.ts'
import { orderPdf } from '@/lib/picture/order-pdf.ts'
import { Refusal } from '@/lib/refusal.ts'

/** The order sheet for the supplier. */
export function GET(request: Request, { params }: { params: Promise<{ order: string }> }): Promise<Response> {
  return routeAnswer('order', async () => {
    await routeGuard(request, null)
    const { order: asked } = await params
    if (!/^\d{1,15}$/.test(asked)) throw new Refusal('buying/no-such-order', { order: asked.slice(0, 40) })
    const letter = await orderLetter(Number(asked))
    return pdfResponse(`order-${letter.number}.pdf`, await orderPdf(letter))
  })
}
