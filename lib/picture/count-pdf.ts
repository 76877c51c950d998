import { type CountRow, countLayout } from '../print/count-layout.ts'
import { pagesPdf } from './book-pdf.ts'

/** A count sheet on pages of A4, blind. */
export function countPdf(
  head: { title: string; about: string; printed: string },
  rows: readonly CountRow[],
): Promise<Uint8Array<ArrayBuffer>> {
  return pagesPdf(head.title, (pen, pages) => Promise.resolve(countLayout(pen, { ...head, pages }, rows)))
}
