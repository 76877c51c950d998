import type { Metadata } from 'next'
import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PartPicker } from '@/app/_parts/part-picker.tsx'
import { type PageQuery, queryId, queryText } from '@/app/_parts/query.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { binPartNew, binRead, binsList } from '@/lib/db/shelf.ts'
import { mayDo } from '@/lib/people/role.ts'
import { PartInBin } from './part-in-bin.tsx'

interface Props {
  params: Promise<{ bin: string }>
  searchParams: PageQuery
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  await signedIn()
  const bin = await found(binRead(idOf((await params).bin)))
  return { title: `Bin ${bin.code}` }
}

export default async function BinPage({ params, searchParams }: Props) {
  const who = await signedIn()
  const bin = await found(binRead(idOf((await params).bin)))
  const asked = await searchParams
  const newId = queryId(asked.part)
  const added = newId === null || bin.parts.some((part) => part.partId === newId) ? null : await binPartNew(newId)
  const parts = added ? [added, ...bin.parts] : bin.parts
  const bins = (await binsList()).filter((other) => other.id !== bin.id)
  const mayCount = mayDo(who.roles, 'stock.count')
  return (
    <main className="page" id="page">
      <header className="page-head">
        <div>
          <p className="over">
            <Link href={paths.bins()} prefetch={false}>
              Bins
            </Link>
            , {bin.store}
          </p>
          <h1>Bin {bin.code}</h1>
        </div>
      </header>
      <div className="stack loose">
        {mayCount ? (
          <p>
            Count what lies in the bin and enter it. If somebody takes from the bin meanwhile, the count is refused:{' '}
            <a href={paths.bin(bin.id)}>load the bin again</a> and count once more.
          </p>
        ) : (
          <MayNot right="stock.count" />
        )}
        {parts.length === 0 ? (
          <p className="empty">
            Nothing has lain here yet. <Link href={paths.receive()}>Receive</Link> a part into this bin, or count in
            what you found below.
          </p>
        ) : (
          <ul className="plain-list stack">
            {parts.map((part) => (
              <PartInBin key={part.partId} part={part} binId={bin.id} bins={bins} roles={who.roles} />
            ))}
          </ul>
        )}
        {mayCount ? (
          <section className="stack" aria-labelledby="found">
            <h2 id="found">Found something else here</h2>
            <PartPicker
              query={queryText(asked.q)}
              action={paths.bin(bin.id)}
              pick={(part) => (
                <Link
                  className="button"
                  href={`${paths.bin(bin.id, { part: part.id })}#part-${part.id}`}
                  prefetch={false}
                >
                  Choose<span className="visually-hidden"> {part.number}</span>
                </Link>
              )}
            />
          </section>
        ) : null}
      </div>
    </main>
  )
}
