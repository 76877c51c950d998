import type { Metadata } from 'next'
import Link from 'next/link'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { type PageQuery, queryId } from '@/app/_parts/query.ts'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type CountKept, countsAccuracy, countsKept } from '@/lib/db/count-kept.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import type { CountState } from '@/lib/stock/count.ts'
import { Accuracy } from './accuracy.tsx'

export const metadata: Metadata = { title: 'Counts kept' }

const STATE_SAYS: Record<CountState, string> = {
  right: '✓ right',
  recount: '▲ count again',
  reason: '▲ says no reason',
  waiting: '▲ waits for approval',
  booked: '✓ put right',
  'sent-back': '✗ sent back',
}

export default async function CountsKeptPage({ searchParams }: { searchParams: PageQuery }) {
  await signedIn()
  const before = queryId((await searchParams).before)
  const [{ rows, more }, months] = await Promise.all([countsKept(before), countsAccuracy(new Date())])
  const oldest = rows.at(-1)
  return (
    <main className="page" id="page">
      <PageHead up={paths.countDue()} from="Count due" title="Counts kept" />
      <div className="stack loose">
        {before === null ? (
          <section className="stack" aria-labelledby="accuracy">
            <h2 id="accuracy">How often the books were right</h2>
            <p className="soft">
              Lines that agreed at the first count; a bin is right when every line counted in it is.
            </p>
            <Accuracy months={months} />
          </section>
        ) : null}
        <section className="stack" aria-labelledby="counts">
          <h2 id="counts">Counts, newest first</h2>
          {rows.length === 0 ? <p className="empty">Nothing was counted yet.</p> : <Counts rows={rows} />}
          {more && oldest ? (
            <p>
              <Link className="button" href={paths.countKept({ before: oldest.id })} prefetch={false}>
                Earlier counts
              </Link>
            </p>
          ) : null}
        </section>
      </div>
    </main>
  )
}

function Counts({ rows }: { rows: readonly CountKept[] }) {
  return (
    <table className="parts fold">
      <caption className="visually-hidden">Counts</caption>
      <thead>
        <tr>
          <th scope="col">When</th>
          <th scope="col">Part</th>
          <th scope="col">Bin</th>
          <th scope="col">Counted</th>
          <th scope="col">Books</th>
          <th scope="col">What became of it</th>
          <th scope="col">Who</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.id}>
            <td data-label="When">
              <When at={row.at} time />
            </td>
            <td className="wide">
              <Link href={paths.movements({ part: row.partId })} prefetch={false} className="number">
                {row.number}
              </Link>{' '}
              {row.description}
            </td>
            <td data-label="Bin" className="number">
              {row.bin}
            </td>
            <td data-label="Counted">{quantityFormat(row.counted, row.unit)}</td>
            <td data-label="Books">{row.books === null ? 'not shown yet' : quantityFormat(row.books, row.unit)}</td>
            <td className="wide">
              {STATE_SAYS[row.state]}
              {row.round > 1 ? `, count ${row.round}` : ''}
              {row.reason === '' ? '' : `: ${row.reason}`}
              {row.decidedBy === null ? null : (
                <span className="soft small">
                  {' '}
                  {row.decidedBy}
                  {row.decidedWords === '' ? '' : `: ${row.decidedWords}`}
                </span>
              )}
            </td>
            <td data-label="Who">{row.person}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
