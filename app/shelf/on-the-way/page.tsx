import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { When } from '@/app/_parts/when.tsx'
import { SelectField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type ConsignmentRow, consignmentsList } from '@/lib/db/consignment-read.ts'
import { storesList } from '@/lib/db/shelf.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'
import { CONSIGNMENT_STATES } from '@/lib/stock/consignment.ts'
import { pack } from './actions.ts'

export const metadata: Metadata = { title: 'On the way' }

export default async function OnTheWayPage() {
  const who = await signedIn()
  const [{ open, through }, stores] = await Promise.all([consignmentsList(), storesList()])
  return (
    <main className="page narrow stack loose" id="page">
      <PageHead up={paths.shelf()} from="Shelf" about="goods from one store to another" title="On the way" />
      {open.length === 0 ? (
        <p className="empty">
          Nothing is on the way. What is sent from one store to another stands here until it arrives.
        </p>
      ) : (
        <Consignments rows={open} />
      )}
      <Pack stores={stores} mayPack={mayDo(who.roles, 'stock.transfer')} />
      {through.length > 0 ? (
        <section className="stack tight" aria-labelledby="through">
          <h2 id="through">Arrived</h2>
          <Consignments rows={through} />
        </section>
      ) : null}
    </main>
  )
}

function Pack({ stores, mayPack }: { stores: { id: number; name: string }[]; mayPack: boolean }) {
  if (!mayPack) return <MayNot right="stock.transfer" />
  if (stores.length < 2)
    return (
      <p className="soft">
        There must be two stores to send goods between: set them up under{' '}
        <Link href={paths.stores()}>Stores and bins</Link>.
      </p>
    )
  const options = stores.map((store) => (
    <option key={store.id} value={store.id}>
      {store.name}
    </option>
  ))
  return (
    <section className="sheet stack" aria-labelledby="pack">
      <h2 id="pack">Send to another store</h2>
      <ActionForm action={pack} formKey={freshKey()} submit="Begin to pack" aria-label="Send to another store">
        <SelectField name="fromStoreId" label="From" defaultValue={String(stores[0]!.id)}>
          {options}
        </SelectField>
        <SelectField name="toStoreId" label="To" defaultValue={String(stores[1]!.id)}>
          {options}
        </SelectField>
      </ActionForm>
    </section>
  )
}

function Consignments({ rows }: { rows: ConsignmentRow[] }) {
  return (
    <ul className="plain-list stack">
      {rows.map((row) => (
        <li key={row.id} className="sheet row spread">
          <p>
            <Link href={paths.consignment(row.id)} className="strong" prefetch={false}>
              Consignment {row.number}
            </Link>
            , {row.from} to {row.to}
            <br />
            <span className="soft small">
              {counted(row.lines, 'line')},{' '}
              {row.sentAt ? (
                <>
                  sent <When at={row.sentAt} />
                </>
              ) : (
                <>
                  begun <When at={row.packedAt} />
                </>
              )}
            </span>
          </p>
          <p className="badge">
            {CONSIGNMENT_STATES[row.state]}
            {row.state === 'on-the-way' && row.open < row.lines ? `, ${counted(row.open, 'line')} left` : ''}
          </p>
        </li>
      ))}
    </ul>
  )
}
