import { pdfResponse } from '@/app/_server/pdf-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { labelAsked } from '@/lib/label/schema.ts'
import { labelTestPdf } from '@/lib/picture/label-pdf.ts'

/** The edges of the labels of a sheet and a ruler. */
export function GET(request: Request): Promise<Response> {
  return routeAnswer('label test page', async () => {
    await routeGuard(request, null)
    const asked = labelAsked(Object.fromEntries(new URL(request.url).searchParams))
    return pdfResponse('label-test-page.pdf', labelTestPdf(asked.sheet, asked))
  })
}
