import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { Field, SelectField } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { storesToSetUp } from '@/lib/db/place-read.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'
import { STORE_KINDS } from '@/lib/stock/bin-kind.ts'
import { addStore } from './actions.ts'

export const metadata: Metadata = { title: 'Stores and bins' }

export default async function StoresPage() {
  const who = await signedIn()
  const stores = await storesToSetUp()
  return (
    <main className="page narrow stack loose" id="page">
      <PageHead up={paths.settings()} from="Settings" title="Stores and bins" />
      {stores.length === 0 ? (
        <p className="empty">
          No store yet. Add the first one, then its bins in the order in which you walk past them.
        </p>
      ) : (
        <ul className="plain-list stack">
          {stores.map((store) => (
            <li key={store.id} className="sheet row spread">
              <h2>
                <Link href={paths.store(store.id)} prefetch={false}>
                  {store.name}
                </Link>
              </h2>
              <p>
                {STORE_KINDS[store.kind]}, {counted(store.bins, 'bin')}
              </p>
            </li>
          ))}
        </ul>
      )}
      {mayDo(who.roles, 'stock.places') ? (
        <section className="sheet stack" aria-labelledby="add">
          <h2 id="add">Add a store</h2>
          <ActionForm action={addStore} formKey={freshKey()} submit="Add" aria-label="Add a store">
            <Field name="name" label="Name" maxLength={60} autoComplete="off" />
            <StoreKindField />
          </ActionForm>
        </section>
      ) : (
        <MayNot right="stock.places" />
      )}
    </main>
  )
}

function StoreKindField() {
  return (
    <SelectField name="kind" label="What it is" defaultValue="building">
      {Object.entries(STORE_KINDS).map(([kind, says]) => (
        <option key={kind} value={kind}>
          {says}
        </option>
      ))}
    </SelectField>
  )
}
