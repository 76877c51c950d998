import Link from 'next/link'
import { Fragment } from 'react'
import { paths } from '@/app/paths.ts'
import type { ExchangeDone } from '@/lib/db/exchange.ts'
import type { Kind } from '@/lib/exchange/columns.ts'
import { counted } from '@/lib/measure/counted.ts'

const WHERE: Record<Kind, { href: string; says: string }> = {
  parts: { href: paths.search(), says: 'Look parts up' },
  'parts-lists': { href: paths.models(), says: 'To the parts books' },
  alternatives: { href: paths.search(), says: 'Look parts up' },
  kits: { href: paths.search(), says: 'Look parts up' },
  supersessions: { href: paths.search(), says: 'Look parts up' },
  stock: { href: paths.shelf(), says: 'To the shelf' },
  counts: { href: paths.countDue(), says: 'To the counts' },
  suppliers: { href: paths.buying(), says: 'To the order list' },
  prices: { href: paths.suppliers(), says: 'To the suppliers' },
  machines: { href: paths.machines(), says: 'To the machines' },
}

/** What a file does or did, in numbers. */
export function Counts({ done }: { done: ExchangeDone }) {
  const { rows, counts, made, unused } = done
  const facts: [string, string | number][] = [
    ['Rows in the file', rows],
    ['New', counts.new],
    ['Changed', counts.changed],
    ['As they were', counts.same],
    ...Object.entries(made)
      .filter(([, count]) => count > 0)
      .map(([what, count]): [string, number] => [`Made on the way: ${what}`, count]),
    ...(unused.length > 0 ? [['Headers not used', unused.join(', ')] as [string, string]] : []),
  ]
  return (
    <dl className="facts">
      {facts.map(([what, value]) => (
        <Fragment key={what}>
          <dt>{what}</dt>
          <dd>{typeof value === 'number' ? value.toLocaleString('en-GB') : value}</dd>
        </Fragment>
      ))}
    </dl>
  )
}

export function Done({ id, kind, done }: { id: string; kind: Kind; done: ExchangeDone }) {
  return (
    <section className="sheet stack" aria-labelledby="done">
      <h2 id="done">■ Brought in</h2>
      <Counts done={done} />
      {done.left === undefined ? null : (
        <div className="caution stack tight">
          <p>
            {counted(done.left, 'row')} left out. They are kept for a week: mend them in their file and bring that in.
          </p>
          <p>
            <a className="button" href={paths.exchangeRefused(id)} download>
              Download the rows left out
            </a>
          </p>
        </div>
      )}
      <p className="row">
        <Link className="button primary" href={WHERE[kind].href} prefetch={false}>
          {WHERE[kind].says}
        </Link>
        <Link className="button" href={paths.exchange()} prefetch={false}>
          Bring in another file
        </Link>
      </p>
    </section>
  )
}
