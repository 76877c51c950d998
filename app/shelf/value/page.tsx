import type { Metadata } from 'next'
import Link from 'next/link'
import { PageHead } from '@/app/_parts/page-head.tsx'
import type { PageQuery } from '@/app/_parts/query.ts'
import { todayIs } from '@/app/_parts/today.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { stockMonths, stockValueOn } from '@/lib/db/stock-value.ts'
import { dateSays } from '@/lib/measure/date.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { settingsRead } from '@/lib/settings.ts'
import { VALUE_METHODS, type ValueCell, valueLines } from '@/lib/value/summary.ts'
import { MONTHS_SHOWN, type ValueQuestion, valueQuestion } from './question.ts'
import { MonthTable, ValueTable } from './tables.tsx'

export const metadata: Metadata = { title: 'Stock value' }

const SAYS: Record<ValueQuestion['method'], string> = {
  'moving-average':
    'Each part at the average of what was paid for the pieces that were there, worked out at every delivery.',
  fifo: 'As if the oldest pieces were always taken first: what is left is worth what the last deliveries cost.',
}

export default async function StockValuePage({ searchParams }: { searchParams: PageQuery }) {
  await signedIn()
  const question = valueQuestion(await searchParams)
  const { day, before, method } = question
  const [cells, then, months] = await Promise.all([
    stockValueOn(day, method),
    before === null ? null : stockValueOn(before, method),
    stockMonths(day, MONTHS_SHOWN),
  ])
  const { currency } = settingsRead()
  const total = cells.reduce((sum, cell) => sum + cell.valueMinor, 0)
  return (
    <main className="page" id="page">
      <PageHead up={paths.shelf()} from="Shelf" title="Stock value">
        <nav className="row no-print" aria-label="Take along">
          <a className="button" href={paths.stockValueCsv({ day, method })}>
            Parts as CSV
          </a>
          <a className="button" href={paths.stockMonthsCsv({ day })}>
            Months as CSV
          </a>
        </nav>
      </PageHead>
      <div className="stack">
        <Question question={question} />
        {question.fault === null ? null : <p className="fault">{question.fault}</p>}
        <p>
          At the end of {dateSays(day)} the stock was worth <strong>{moneyFormat(total, currency)}</strong>.{' '}
          <span className="soft">{SAYS[method]}</span>
        </p>
        <Tables cells={cells} then={then} question={question} currency={currency} />
        <section className="stack" aria-labelledby="months">
          <h2 id="months">Month by month</h2>
          <p className="soft">
            At moving average cost. Taken is less what was put back; what was put right counts with what it puts right.
            Moving parts from bin to bin changes nothing. Deposits on exchange parts are money that is owed, not stock:
            they stand under <Link href={paths.oldUnits()}>Old units</Link> and are in no figure here.
          </p>
          <MonthTable months={months} currency={currency} />
        </section>
      </div>
    </main>
  )
}

function Question({ question: { day, before, method } }: { question: ValueQuestion }) {
  return (
    <search className="no-print">
      <form action={paths.stockValue()} className="row end">
        <div className="field">
          <label htmlFor="value-day">On</label>
          <input id="value-day" name="day" type="date" max={todayIs()} defaultValue={day} required />
        </div>
        <div className="field">
          <label htmlFor="value-before">Compare with</label>
          <input id="value-before" name="before" type="date" defaultValue={before ?? ''} />
        </div>
        <div className="field">
          <label htmlFor="value-method">Method</label>
          <select id="value-method" name="method" defaultValue={method}>
            {Object.entries(VALUE_METHODS).map(([name, says]) => (
              <option key={name} value={name}>
                {says}
              </option>
            ))}
          </select>
        </div>
        <button type="submit" className="button">
          Show
        </button>
      </form>
    </search>
  )
}

function Tables({
  cells,
  then,
  question: { day, before },
  currency,
}: {
  cells: ValueCell[]
  then: ValueCell[] | null
  question: ValueQuestion
  currency: string
}) {
  if (cells.length === 0 && (then === null || then.length === 0))
    return <p className="empty">No part had been received by then. Choose a later day.</p>
  const shared = { day, before, currency }
  return (
    <>
      <ValueTable what="Store" lines={valueLines('store', cells, then)} {...shared} />
      <ValueTable what="Class" lines={valueLines('partClass', cells, then)} {...shared} />
    </>
  )
}
