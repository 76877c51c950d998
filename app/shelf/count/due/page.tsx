import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type CountDueStore, countDue } from '@/lib/db/count-due.ts'
import { type CountKept, countsOpen } from '@/lib/db/count-kept.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { ABC_CLASSES, CRITICALITIES } from '@/lib/stock/abc.ts'
import { timesAYear } from '@/lib/stock/count-settings.ts'

export const metadata: Metadata = { title: 'Count due' }

const OPEN_SAYS = {
  recount: 'count again',
  reason: 'say why it differs',
  'sent-back': 'sent back, count again',
} as const

export default async function CountDuePage() {
  const who = await signedIn()
  const mayCount = mayDo(who.roles, 'stock.count')
  const [due, open] = await Promise.all([countDue(new Date()), countsOpen()])
  return (
    <main className="page" id="page">
      <PageHead up={paths.bins()} from="Bins" title="Count due">
        <nav className="row" aria-label="Counting">
          <Link className="button" href={paths.countKept()} prefetch={false}>
            Counts kept
          </Link>
          <Link className="button" href={paths.countApprove()} prefetch={false}>
            To approve
          </Link>
          <Link className="button" href={paths.countFiles()} prefetch={false}>
            Stocktake by file
          </Link>
        </nav>
      </PageHead>
      <div className="stack loose">
        {mayCount ? null : <MayNot right="stock.count" />}
        <Open open={open} />
        {due.stores.map((store) => (
          <Store key={store.id} store={store} mayCount={mayCount} />
        ))}
        {due.stores.length === 0 ? <p className="empty">Nothing has lain on a shelf yet.</p> : null}
        <Matrix due={due} />
      </div>
    </main>
  )
}

function Open({ open }: { open: readonly CountKept[] }) {
  if (open.length === 0) return null
  return (
    <section className="sheet stack tight" aria-labelledby="again">
      <h2 id="again">To count again</h2>
      <ul className="plain-list stack tight">
        {open.map((line) => (
          <li key={line.id}>
            <Link href={paths.count({ bin: line.binId })} prefetch={false}>
              Bin <span className="number">{line.bin}</span>, <span className="number">{line.number}</span>
            </Link>{' '}
            {line.description}: {OPEN_SAYS[line.state as keyof typeof OPEN_SAYS]}
            <span className="soft small">
              {' '}
              counted by {line.person}, <When at={line.at} />
              {line.decidedBy === null ? '' : `; ${line.decidedBy}: ${line.decidedWords}`}
            </span>
          </li>
        ))}
      </ul>
    </section>
  )
}

function Store({ store, mayCount }: { store: CountDueStore; mayCount: boolean }) {
  const { id, name, due, all, lines } = store
  return (
    <section className="sheet stack" aria-labelledby={`store-${id}`}>
      <div className="row spread">
        <div>
          <h2 id={`store-${id}`}>{name}</h2>
          <p>
            {due === 0 ? 'Nothing due' : `${counted(due, 'line')} due`} of {all.toLocaleString('en-GB')}.
            {due > lines.length ? ` The ${lines.length} longest overdue are the next sheet, in walking order.` : ''}
          </p>
        </div>
        {mayCount && due > 0 ? (
          <Link className="button primary" href={paths.count({ due: id })} prefetch={false}>
            Count {counted(lines.length, 'line')}
            <span className="visually-hidden"> due in {name}</span>
          </Link>
        ) : null}
      </div>
      {due === 0 ? null : (
        <details>
          <summary className="button">The next sheet</summary>
          <table className="parts fold">
            <caption className="visually-hidden">Due in {name}, in walking order</caption>
            <thead>
              <tr>
                <th scope="col">Bin</th>
                <th scope="col">Part</th>
                <th scope="col">Class</th>
                <th scope="col">Due since</th>
                <th scope="col">Last counted</th>
              </tr>
            </thead>
            <tbody>
              {lines.map((line) => (
                <tr key={`${line.binId} ${line.partId}`}>
                  <td className="number" data-label="Bin">
                    {line.bin}
                  </td>
                  <td className="wide">
                    <span className="number">{line.number}</span> {line.description}
                  </td>
                  <td data-label="Class">
                    {line.abc}, {line.criticality}
                  </td>
                  <td data-label="Due since">
                    <When at={line.dueAt} />
                  </td>
                  <td data-label="Last counted">{line.lastAt ? <When at={line.lastAt} /> : 'never'}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </details>
      )}
    </section>
  )
}

/** Classes by value of use beside what stands still without the part. */
function Matrix({ due: { matrix, settings } }: { due: Awaited<ReturnType<typeof countDue>> }) {
  const { currency } = settingsRead()
  return (
    <section className="sheet stack" aria-labelledby="classes">
      <h2 id="classes">Classes</h2>
      <p>
        By value of use over the last twelve months: A up to {settings.abcA} %, B up to {settings.abcB} %, C the rest.
        Each part in a bin is counted {ABC_CLASSES.map((abc) => `${abc} ${timesAYear(settings, abc)}`).join(', ')} times
        a year.{' '}
        <Link href={paths.countSettings()} prefetch={false}>
          How counting is done
        </Link>
      </p>
      <table className="parts fold">
        <caption className="visually-hidden">Parts and value of use by class and criticality</caption>
        <thead>
          <tr>
            <th scope="col">Criticality</th>
            {ABC_CLASSES.map((abc) => (
              <th scope="col" key={abc}>
                {abc}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {CRITICALITIES.map((criticality) => (
            <tr key={criticality}>
              <td className="wide strong">{criticality}</td>
              {ABC_CLASSES.map((abc) => {
                const { parts, useMinor } = matrix[criticality][abc]
                return (
                  <td key={abc} data-label={abc}>
                    {counted(parts, 'part')}, {moneyFormat(useMinor, currency)}
                  </td>
                )
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
