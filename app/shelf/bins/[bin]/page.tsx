import type { Metadata } from 'next'
import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { binBatches } from '@/lib/db/batch-read.ts'
import { binRead, binsList } from '@/lib/db/shelf.ts'
import { mayDo } from '@/lib/people/role.ts'
import { BIN_KINDS } from '@/lib/stock/bin-kind.ts'
import { OldUnitsHere } from './old-units-here.tsx'
import { PartInBin } from './part-in-bin.tsx'
import { WholeBin } from './whole-bin.tsx'

interface Props {
  params: Promise<{ bin: string }>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  await signedIn()
  const bin = await found(binRead(idOf((await params).bin)))
  return { title: `Bin ${bin.code}` }
}

export default async function BinPage({ params }: Props) {
  const who = await signedIn()
  const bin = await found(binRead(idOf((await params).bin)))
  const bins = (await binsList()).filter((other) => other.id !== bin.id)
  const lots = await binBatches(bin.id)
  // Old units are no stock: they are moved one by one, on their own screen.
  const movable = bin.kind !== 'on-the-way' && (bin.kind !== 'old-units' || bin.parts.length > 0)
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
          {bin.kind === 'shelf' ? null : <p className="badge">{BIN_KINDS[bin.kind].says}</p>}
          {bin.closed ? <p className="badge">Closed</p> : null}
        </div>
        <div className="row">
          {mayDo(who.roles, 'stock.count') ? (
            <Link className="button primary" href={paths.count({ bin: bin.id })} prefetch={false}>
              Count this bin
            </Link>
          ) : null}
          <Link className="button" href={paths.labels({ of: 'bin', ids: String(bin.id) })} prefetch={false}>
            Label
          </Link>
        </div>
      </header>
      <div className="stack loose">
        {mayDo(who.roles, 'stock.count') ? null : <MayNot right="stock.count" />}
        {bin.kind === 'old-units' ? <OldUnitsHere binId={bin.id} /> : null}
        {bin.parts.length === 0 && bin.kind === 'old-units' ? null : bin.parts.length === 0 ? (
          <p className="empty">
            Nothing has lain here yet. <Link href={paths.receive()}>Receive</Link> a part into this bin, or count in
            what you found.
          </p>
        ) : (
          <ul className="plain-list stack">
            {bin.parts.map((part) => (
              <PartInBin
                key={part.partId}
                part={part}
                bin={bin}
                bins={bins}
                roles={who.roles}
                lots={lots.get(part.partId) ?? []}
              />
            ))}
          </ul>
        )}
        {movable && mayDo(who.roles, 'stock.transfer') ? (
          <WholeBin bin={bin} bins={bins} batches={[...lots.values()].flat().length} />
        ) : null}
      </div>
    </main>
  )
}
