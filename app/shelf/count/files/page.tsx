import type { Metadata } from 'next'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { BringForm } from '@/app/exchange/bring-form.tsx'
import { paths } from '@/app/paths.ts'
import { storesList } from '@/lib/db/shelf.ts'
import { KINDS } from '@/lib/exchange/columns.ts'
import { FILE_MEGABYTES_MAX } from '@/lib/exchange/table.ts'
import { mayDo } from '@/lib/people/role.ts'

export const metadata: Metadata = { title: 'Stocktake by file' }

const FORMATS = ['pdf', 'xlsx', 'csv'] as const

export default async function CountFilesPage() {
  const who = await signedIn()
  const stores = await storesList()
  const sheets = [...stores.map(({ id, name }) => ({ id, name })), { id: null, name: 'All stores' }]
  const { title, says } = KINDS.counts
  return (
    <main className="page narrow" id="page">
      <PageHead up={paths.countDue()} from="Count due" title="Stocktake by file" />
      <div className="stack loose">
        <section className="sheet stack" aria-labelledby="out">
          <h2 id="out">Take count sheets out</h2>
          <p>
            In walking order, without what the books say. Each line has an id: leave it as it is. What moves in a bin
            until the sheet comes back is asked about.
          </p>
          <ul className="plain-list stack">
            {sheets.map(({ id, name }) => (
              <li className="row spread" key={id ?? 'all'}>
                <span>{name}</span>
                <span className="row">
                  {FORMATS.map((format) => (
                    <a
                      className="button quiet"
                      href={paths.countFile(format, { store: id ?? undefined })}
                      key={format}
                      download
                    >
                      <span className="visually-hidden">Count sheet of {name} as </span>
                      {format.toUpperCase()}
                    </a>
                  ))}
                </span>
              </li>
            ))}
          </ul>
        </section>
        <section className="sheet stack" aria-labelledby="in">
          <h2 id="in">Bring them back counted</h2>
          <p>
            A file is rehearsed first: rows that stand in the way are listed with column and reason. Large differences
            are asked for again or wait for approval, as when they are typed in.
          </p>
          {mayDo(who.roles, 'catalogue.import') && mayDo(who.roles, 'stock.count') ? (
            <BringForm kinds={[{ name: 'counts', title, says }]} megabytesMax={FILE_MEGABYTES_MAX} />
          ) : (
            <MayNot right="stock.count" />
          )}
        </section>
      </div>
    </main>
  )
}
