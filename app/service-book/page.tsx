import type { Metadata } from 'next'
import Link from 'next/link'
import { BookEntry } from '@/app/_parts/book-entry.tsx'
import { PrintButton } from '@/app/_parts/print-button.tsx'
import { type PageQuery, queryId } from '@/app/_parts/query.ts'
import { ScanMachine } from '@/app/_parts/scan/scan-machine.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { machinesList } from '@/lib/db/machine.ts'
import { BOOK_PAGE, type BookQuestion, entriesFind, serviceBookYears } from '@/lib/db/service-book.ts'
import { settingsRead } from '@/lib/settings.ts'
import { bookQuestion } from './question.ts'
import { Years } from './years.tsx'

export const metadata: Metadata = { title: 'Service book' }

export default async function ServiceBookPage({ searchParams }: { searchParams: PageQuery }) {
  await signedIn()
  const asked = await searchParams
  const question = bookQuestion(asked)
  const page = queryId(asked.page) ?? 1
  const machines = await machinesList()
  const machine = machines.find(({ id }) => id === question.machineId)
  const [found, years] = await Promise.all([
    entriesFind(question, (page - 1) * BOOK_PAGE, BOOK_PAGE + 1),
    machine ? serviceBookYears(machine.id) : [],
  ])
  const entries = found.slice(0, BOOK_PAGE)
  const address = addressOf(question)
  return (
    <main className="page stack" id="page">
      <header className="page-head">
        <div>
          <p className="over">What was done, when, with which parts</p>
          <h1>
            Service book{machine ? ' of ' : ''}
            {machine ? (
              <Link href={paths.machine(machine.id)} prefetch={false}>
                <span className="number">{machine.fleetNumber}</span> {machine.name}
              </Link>
            ) : null}
          </h1>
        </div>
        <nav className="row no-print" aria-label="Take along">
          <a className="button" href={paths.serviceBookCsv(address)}>
            CSV
          </a>
          <a className="button" href={paths.serviceBookPdf(address)}>
            PDF
          </a>
          {machine ? (
            <Link className="button" href={paths.printServiceBook(machine.id)} prefetch={false}>
              Print the service book
            </Link>
          ) : (
            <PrintButton>Print</PrintButton>
          )}
        </nav>
      </header>
      <search className="no-print">
        <form action={paths.serviceBook()} className="row end">
          <div className="field">
            <label htmlFor="book-q">Part, number or symptom</label>
            <input id="book-q" name="q" type="search" defaultValue={question.said} maxLength={200} />
          </div>
          <ScanMachine>
            <div className="field">
              <label htmlFor="book-machine">Machine</label>
              <select id="book-machine" name="machine" defaultValue={question.machineId ?? ''}>
                <option value="">All machines</option>
                {machines.map((one) => (
                  <option key={one.id} value={one.id}>
                    {one.fleetNumber} {one.name}
                  </option>
                ))}
              </select>
            </div>
          </ScanMachine>
          <div className="field">
            <label htmlFor="book-from">From</label>
            <input id="book-from" name="from" type="date" defaultValue={question.from ?? ''} />
          </div>
          <div className="field">
            <label htmlFor="book-to">to</label>
            <input id="book-to" name="to" type="date" defaultValue={question.to ?? ''} />
          </div>
          <button type="submit" className="button">
            Look up
          </button>
        </form>
      </search>
      {years.length > 0 && page === 1 ? <Years years={years} currency={settingsRead().currency} /> : null}
      {entries.length === 0 ? (
        <p className="empty">
          {Object.values(address).some((value) => value !== undefined) || page > 1 ? (
            <>
              No entry answers that. <Link href={paths.serviceBook()}>Show the whole book</Link>.
            </>
          ) : (
            'Nothing written yet. Closing a job writes its entry here.'
          )}
        </p>
      ) : (
        <section className="stack" aria-labelledby="entries">
          <h2 id="entries">Entries, newest first</h2>
          <ol className="plain-list stack">
            {entries.map((entry) => (
              <BookEntry key={entry.id} entry={entry} machineId={entry.machineId} withMachine={machine === undefined} />
            ))}
          </ol>
        </section>
      )}
      {page > 1 || found.length > BOOK_PAGE ? (
        <nav className="row no-print" aria-label="Pages">
          {page > 1 ? (
            <Link className="button" href={paths.serviceBook({ ...address, page: page - 1 })} prefetch={false}>
              Newer
            </Link>
          ) : null}
          <span>Page {page}</span>
          {found.length > BOOK_PAGE ? (
            <Link className="button" href={paths.serviceBook({ ...address, page: page + 1 })} prefetch={false}>
              Older
            </Link>
          ) : null}
        </nav>
      ) : null}
    </main>
  )
}

function addressOf(question: BookQuestion) {
  return {
    q: question.said === '' ? undefined : question.said,
    machine: question.machineId ?? undefined,
    from: question.from ?? undefined,
    to: question.to ?? undefined,
  }
}
