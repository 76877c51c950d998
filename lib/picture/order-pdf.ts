import { letterSubject, type OrderLetter } from '../buying/order-letter.ts'
import { orderLayout } from '../print/order-layout.ts'
import { pagesPdf } from './book-pdf.ts'

/** The order sheet for the supplier on pages of A4. */
export function orderPdf(letter: OrderLetter): Promise<Uint8Array<ArrayBuffer>> {
  return pagesPdf(letterSubject(letter), (pen, pages) => Promise.resolve(orderLayout(pen, letter, pages)))
}
