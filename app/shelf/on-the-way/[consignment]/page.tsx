import type { Metadata } from 'next'
import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { type PageQuery, queryText } from '@/app/_parts/query.ts'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { consignmentRead } from '@/lib/db/consignment-read.ts'
import { binsList } from '@/lib/db/shelf.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { CONSIGNMENT_STATES } from '@/lib/stock/consignment.ts'
import { Arrival } from './arrival.tsx'
import { lotsSay, Packing } from './packing.tsx'

interface Props {
  params: Promise<{ consignment: string }>
  searchParams: PageQuery
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  await signedIn()
  const { number } = await found(consignmentRead(idOf((await params).consignment)))
  return { title: `Consignment ${number}` }
}

export default async function ConsignmentPage({ params, searchParams }: Props) {
  const who = await signedIn()
  const consignment = await found(consignmentRead(idOf((await params).consignment)))
  const { from, to, state } = consignment
  const bins = (await binsList()).filter((bin) => bin.storeId === to.id)
  return (
    <main className="page stack loose" id="page">
      <header className="page-head">
        <div>
          <p className="over">
            <Link href={paths.onTheWay()} prefetch={false}>
              On the way
            </Link>
          </p>
          <h1>Consignment {consignment.number}</h1>
          <p>
            {from.name} to {to.name} <span className="badge">{CONSIGNMENT_STATES[state]}</span>
          </p>
        </div>
      </header>
      <p className="soft">
        {consignment.sentAt ? (
          <>
            Sent <When at={consignment.sentAt} time /> by {consignment.sentBy}.
          </>
        ) : (
          <>
            Begun <When at={consignment.packedAt} time /> by {consignment.packedBy}. Nothing has moved yet.
          </>
        )}
      </p>
      {!mayDo(who.roles, 'stock.transfer') ? (
        <MayNot right="stock.transfer" />
      ) : state === 'packing' ? (
        <Packing consignment={consignment} query={queryText((await searchParams).q)} />
      ) : state === 'on-the-way' ? (
        <Arrival consignment={consignment} bins={bins} mayWriteOff={mayDo(who.roles, 'stock.count')} />
      ) : null}
      {consignment.sentAt ? (
        <section className="stack tight" aria-labelledby="sent">
          <h2 id="sent">What was sent</h2>
          <ul className="plain-list">
            {consignment.lines.map((line) => (
              <li key={line.id}>
                <Link href={paths.part(line.partId)} className="number" prefetch={false}>
                  {line.number}
                </Link>{' '}
                {line.description}: {quantityFormat(line.sent, line.unit)} from {line.fromBin}
                {lotsSay(line)}, {quantityFormat(line.arrived, line.unit)} arrived
                {line.open > 0 ? `, ${quantityFormat(line.open, line.unit)} on the way` : ''}
                {line.lost > 0 ? `, ${quantityFormat(line.lost, line.unit)} lost (${line.lostReason})` : ''}
              </li>
            ))}
          </ul>
        </section>
      ) : null}
    </main>
  )
}
