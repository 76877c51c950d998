import type { Metadata } from 'next'
import Link from 'next/link'
import { notFound } from 'next/navigation'
import { found } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PartPicker } from '@/app/_parts/part-picker.tsx'
import { type PageQuery, queryId, queryText } from '@/app/_parts/query.ts'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { countSheetOfBin, countSheetOfDue, countSheetOfStore, type CountSheet as Sheet } from '@/lib/db/count-sheet.ts'
import { binPartNew } from '@/lib/db/shelf.ts'
import { mayDo } from '@/lib/people/role.ts'
import { countSheet } from '../actions.ts'
import { CountSheet } from './count-sheet.tsx'

export const metadata: Metadata = { title: 'Count' }

/** The sheet of the bin or store that the address names. */
async function sheetAsked(
  binId: number | null,
  storeId: number | null,
  from: number,
  dueStoreId: number | null,
): Promise<Sheet> {
  if (binId !== null) return found(countSheetOfBin(binId))
  if (dueStoreId !== null) return (await countSheetOfDue(dueStoreId, new Date())) ?? notFound()
  return (storeId === null ? null : await countSheetOfStore(storeId, from)) ?? notFound()
}

export default async function CountPage({ searchParams }: { searchParams: PageQuery }) {
  const who = await signedIn()
  const asked = await searchParams
  const binId = queryId(asked.bin)
  const from = queryId(asked.from) ?? 0
  const dueId = queryId(asked.due)
  const sheet = await sheetAsked(binId, queryId(asked.store), from, dueId)
  const bin = binId === null ? null : sheet.bins[0]!
  // A part that never lay in the bin, found there now.
  const newId = queryId(asked.part)
  const isNew = bin !== null && newId !== null && !bin.lines.some((line) => line.partId === newId)
  const part = isNew ? await binPartNew(newId) : null
  if (bin && part) {
    const { partId, number, description, unit } = part
    bin.lines.unshift({ partId, number, description, unit, asks: null })
  }
  const mayCount = mayDo(who.roles, 'stock.count')
  const lines = sheet.bins.reduce((sum, one) => sum + one.lines.length, 0)
  return (
    <main className="page" id="page">
      <header className="page-head">
        <div>
          <p className="over">
            <Link href={paths.bins()} prefetch={false}>
              Bins
            </Link>
            , {sheet.store.name}
          </p>
          <h1>
            {bin ? `Count bin ${bin.code}` : `Count ${dueId === null ? '' : 'what is due in '}${sheet.store.name}`}
          </h1>
        </div>
      </header>
      {mayCount ? (
        <div className="stack loose">
          {lines === 0 && dueId === null ? (
            <p className="empty">Nothing has lain here yet. Count in what you found below.</p>
          ) : (
            <>
              {lines === 0 ? null : (
                <p>
                  Enter what you counted, 0 when there is none; a line left empty is left alone. What the books say is
                  not shown, so that the count is your own.
                </p>
              )}
              <CountSheet
                key={`${binId} ${sheet.store.id} ${from} ${dueId}`}
                asOf={sheet.asOf}
                stays={dueId !== null}
                bins={sheet.bins}
                save={countSheet}
                formKey={freshKey()}
              />
            </>
          )}
          {sheet.next === null ? null : (
            <p>
              Save first, then go on:{' '}
              <Link className="button" href={paths.count({ store: sheet.store.id, from: sheet.next })} prefetch={false}>
                Next bins of the walk
              </Link>
            </p>
          )}
          {bin ? (
            <section className="stack" aria-labelledby="found">
              <h2 id="found">Found something else here</h2>
              <PartPicker
                query={queryText(asked.q)}
                action={paths.count()}
                keeps={{ bin: bin.id }}
                pick={(hit) => (
                  <Link className="button" href={paths.count({ bin: bin.id, part: hit.id })} prefetch={false}>
                    Choose<span className="visually-hidden"> {hit.number}</span>
                  </Link>
                )}
              />
            </section>
          ) : null}
        </div>
      ) : (
        <MayNot right="stock.count" />
      )}
    </main>
  )
}
