import Link from 'next/link'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type Run, runsList } from '@/lib/db/exchange-run.ts'
import { KIND_NAMES, KINDS } from '@/lib/exchange/columns.ts'
import { FILE_MEGABYTES_MAX } from '@/lib/exchange/table.ts'
import { FORMATS } from '@/lib/exchange/write.ts'
import { mayDo } from '@/lib/people/role.ts'
import { BringForm } from './bring-form.tsx'
import { runStanding } from './run-standing.ts'

export const metadata = { title: 'Import and export' }

export default async function ExchangePage() {
  const who = await signedIn()
  const mayBring = mayDo(who.roles, 'catalogue.import')
  const runs = mayBring ? await runsList() : []
  const kinds = KIND_NAMES.filter((name) => (name !== 'stock' && name !== 'counts') || mayDo(who.roles, 'stock.count'))
  return (
    <main className="page narrow" id="page">
      <PageHead
        up={paths.settings()}
        from="Settings"
        about="lists of other programs, in and out"
        title="Import and export"
      />
      <div className="stack loose">
        {mayBring ? (
          <section className="sheet stack" aria-labelledby="in">
            <h2 id="in">Bring in</h2>
            <BringForm
              kinds={kinds.map((name) => ({ name, title: KINDS[name].title, says: KINDS[name].says }))}
              megabytesMax={FILE_MEGABYTES_MAX}
            />
            <p className="soft small">
              A drawing with its parts list comes in through <Link href={paths.figureImport()}>Bring in a figure</Link>.
            </p>
          </section>
        ) : (
          <p className="soft">A storekeeper or buyer brings lists in. Everybody may take them out.</p>
        )}
        {runs.length > 0 ? <Runs runs={runs} /> : null}
        <section className="sheet stack" aria-labelledby="out">
          <h2 id="out">Take out</h2>
          <p>What is taken out can be changed in a spreadsheet and brought in again.</p>
          <table className="parts fold">
            <caption className="visually-hidden">Files to take out</caption>
            <thead>
              <tr>
                <th scope="col">What</th>
                <th scope="col">File</th>
              </tr>
            </thead>
            <tbody>
              {KIND_NAMES.map((kind) => (
                <tr key={kind}>
                  <td className="wide">
                    <span className="strong">{KINDS[kind].title}</span>
                    <br />
                    <span className="soft small">{KINDS[kind].says}</span>
                  </td>
                  <td className="wide">
                    <span className="row">
                      {Object.keys(FORMATS).map((format) => (
                        <a className="button quiet" href={paths.exchangeExport(kind, format)} key={format} download>
                          <span className="visually-hidden">{KINDS[kind].title} as </span>
                          {format.toUpperCase()}
                        </a>
                      ))}
                    </span>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      </div>
    </main>
  )
}

function Runs({ runs }: { runs: Run[] }) {
  return (
    <section className="sheet stack" aria-labelledby="runs">
      <h2 id="runs">Files of the last week</h2>
      <ul className="plain-list stack">
        {runs.map((run) => (
          <li className="row spread" key={run.id}>
            <Link href={paths.exchangeRun(run.id)} prefetch={false}>
              {run.file}
            </Link>
            <span>
              {KINDS[run.kind].title}, {runStanding(run)}{' '}
              <span className="soft small">
                <When at={new Date(run.startedAt)} />
              </span>
            </span>
          </li>
        ))}
      </ul>
    </section>
  )
}
