import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { partClassSays } from '@/lib/catalogue/part-class.ts'
import { inDrafts } from '@/lib/db/order-draft-read.ts'
import { partCard } from '@/lib/db/part.ts'
import { partWhereUsed } from '@/lib/db/where-used.ts'
import { mayDo } from '@/lib/people/role.ts'
import { Batches } from './batches.tsx'
import { Discontinued } from './discontinued.tsx'
import { ExchangePart } from './exchange-part.tsx'
import { Instead } from './instead.tsx'
import { Kits } from './kits.tsx'
import { Levels } from './levels.tsx'
import { Movements } from './movements.tsx'
import { Notes } from './notes.tsx'
import { OnTheShelf } from './on-the-shelf.tsx'
import { Packs } from './packs.tsx'
import { UsedIn } from './used-in.tsx'

export const metadata = { title: 'Part' }

export default async function PartCardPage({ params }: { params: Promise<{ part: string }> }) {
  const who = await signedIn()
  const part = await found(partCard(idOf((await params).part)))
  const used = await partWhereUsed(part.id)
  const mayEdit = mayDo(who.roles, 'catalogue.edit')
  return (
    <main className="page stack loose" id="page">
      <div className="page-head">
        <div>
          <p className="over">
            {part.maker}, {partClassSays(part.partClass)}, {part.criticality}
          </p>
          <h1>{part.description}</h1>
          <p className="number">
            {part.number} {part.discontinued ? <span className="badge unsafe">no longer made</span> : null}
          </p>
        </div>
        <div className="row">
          {mayDo(who.roles, 'stock.receive') ? (
            <Link className="button" href={paths.receive({ part: part.id })}>
              Receive
            </Link>
          ) : null}
          <Link className="button" href={paths.labels({ of: 'part', ids: String(part.id) })} prefetch={false}>
            Label
          </Link>
          {mayDo(who.roles, 'stock.issue') ? (
            <Link className="button" href={paths.book({ part: part.id })} prefetch={false}>
              Take without a job
            </Link>
          ) : null}
          {mayEdit ? (
            <Link className="button" href={paths.partEdit(part.id)} prefetch={false}>
              Change the part
            </Link>
          ) : null}
        </div>
      </div>
      {part.discontinued ? <Discontinued part={part} discontinued={part.discontinued} uses={used.uses} /> : null}
      <div className="columns">
        <OnTheShelf
          part={part}
          mayPlace={mayDo(who.roles, 'stock.places')}
          drafts={(await inDrafts([part.id])).get(part.id) ?? []}
        />
        <Instead partId={part.id} unit={part.unit} mayEdit={mayEdit} />
        <Levels part={part} roles={who.roles} />
      </div>
      <Batches partId={part.id} unit={part.unit} />
      <Packs part={part} mayEdit={mayEdit} />
      <ExchangePart part={part} roles={who.roles} />
      <Kits part={part} />
      <UsedIn uses={used.uses} cut={used.cut} unit={part.unit} />
      <Notes partId={part.id} mayKeep={mayDo(who.roles, 'catalogue.note')} />
      <Movements part={part} />
    </main>
  )
}
