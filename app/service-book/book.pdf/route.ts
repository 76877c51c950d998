import { pdfResponse } from '@/app/_server/pdf-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { bookWhole } from '@/lib/db/book-whole.ts'
import { machinesList } from '@/lib/db/machine.ts'
import type { BookQuestion } from '@/lib/db/service-book.ts'
import { bookSheet } from '@/lib/job/book-sheet.ts'
import { counted } from '@/lib/measure/counted.ts'
import { dateSays } from '@/lib/measure/date.ts'
import { bookPdf } from '@/lib/picture/book-pdf.ts'
import { bookQuestion } from '../question.ts'

/** Some hundreds of pages, made in seconds; the dates narrow a longer book. */
const ENTRIES_MAX = 2000

/** The entries that the screen shows, all pages of them, each with its corrections under it. */
export function GET(request: Request): Promise<Response> {
  return routeAnswer('service book', async () => {
    await routeGuard(request, null)
    const question = bookQuestion(Object.fromEntries(new URL(request.url).searchParams))
    const machines = await machinesList()
    const machine = machines.find(({ id }) => id === question.machineId)
    const found = await bookWhole(question, ENTRIES_MAX + 1)
    const items = found.slice(0, ENTRIES_MAX)
    const title = machine ? `Service book of ${machine.fleetNumber} ${machine.name}` : 'Service book'
    const head = {
      title,
      about: [
        ...(machine
          ? [
              `${machine.model.name}, ${machine.serialNumber ? `S/N ${machine.serialNumber}` : 'no serial number on file'}`,
            ]
          : []),
        askedSays(question),
        `${counted(items.length, 'entry', 'entries')}, newest first${found.length > ENTRIES_MAX ? '; older ones are left out, narrow them by date' : ''}.`,
      ].filter((text) => text !== ''),
      foot: title,
      printed: dateSays(new Date()),
    }
    const sheets = items.map(({ entry, corrections }) => bookSheet(entry, corrections))
    return pdfResponse('service-book.pdf', await bookPdf(head, sheets))
  })
}

function askedSays({ said, from, to }: BookQuestion): string {
  const dates = [from ? `from ${dateSays(from)}` : '', to ? `to ${dateSays(to)}` : ''].filter((text) => text !== '')
  return [...(said.trim() === '' ? [] : [`Entries that answer “${said.trim()}”`]), ...dates].join(', ')
}
