import type { Metadata } from 'next'
import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { type PageQuery, queryId } from '@/app/_parts/query.ts'
import { Field, SelectField, TextField } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type StoreView, storeRead } from '@/lib/db/place-read.ts'
import { mayDo } from '@/lib/people/role.ts'
import { BIN_KINDS, BIN_KINDS_GIVEN, STORE_KINDS } from '@/lib/stock/bin-kind.ts'
import { addBins, changeStore, reopenBin } from '../actions.ts'
import { BinChange } from './bin-change.tsx'
import { StoreMap } from './store-map.tsx'
import { Walk } from './walk.tsx'

interface Props {
  params: Promise<{ store: string }>
  searchParams: PageQuery
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  await signedIn()
  const store = await found(storeRead(idOf((await params).store)))
  return { title: store.name }
}

export default async function StorePage({ params, searchParams }: Props) {
  const who = await signedIn()
  const store = await found(storeRead(idOf((await params).store)))
  const asked = await searchParams
  const mayChange = mayDo(who.roles, 'stock.places')
  const changed = mayChange ? store.bins.find((bin) => bin.id === queryId(asked.bin)) : undefined
  const put = mayChange ? store.bins.find((bin) => bin.id === queryId(asked.put)) : undefined
  return (
    <main className="page stack loose" id="page">
      <header className="page-head">
        <div>
          <p className="over">
            <Link href={paths.stores()} prefetch={false}>
              Stores and bins
            </Link>
          </p>
          <h1>{store.name}</h1>
          <p>{STORE_KINDS[store.kind]}</p>
        </div>
      </header>
      {mayChange ? null : <MayNot right="stock.places" />}
      {changed ? <BinChange key={changed.id} storeId={store.id} bin={changed} last={store.bins.length} /> : null}
      <section className="stack" aria-labelledby="map">
        <h2 id="map">Map</h2>
        <StoreMap store={store} put={put} mayChange={mayChange} />
      </section>
      <section className="stack" aria-labelledby="walk">
        <h2 id="walk">Bins in walking order</h2>
        {store.bins.length === 0 ? <p className="empty">No bin yet.</p> : <Walk store={store} mayChange={mayChange} />}
      </section>
      {mayChange ? <SetUp store={store} /> : null}
    </main>
  )
}

function SetUp({ store }: { store: StoreView }) {
  return (
    <>
      <section className="sheet stack" aria-labelledby="add">
        <h2 id="add">Add bins</h2>
        <ActionForm action={addBins} formKey={freshKey()} hidden={{ storeId: store.id }} aria-label="Add bins">
          <TextField
            name="codes"
            label="Bin codes, with a comma between them"
            hint="For example: A1-01, A1-02, A1-03. In the order in which you walk past them."
            rows={2}
          />
          <SelectField name="kind" label="What they are for" defaultValue="shelf">
            {BIN_KINDS_GIVEN.map((kind) => (
              <option key={kind} value={kind}>
                {BIN_KINDS[kind].says}
              </option>
            ))}
          </SelectField>
          <SubmitButton>Add</SubmitButton>
        </ActionForm>
      </section>
      <section className="sheet stack" aria-labelledby="name">
        <h2 id="name">The store itself</h2>
        <ActionForm
          action={changeStore}
          formKey={freshKey()}
          hidden={{ storeId: store.id }}
          submit="Save"
          submitClassName="button"
          aria-label="Change the store"
        >
          <Field name="name" label="Name" maxLength={60} autoComplete="off" defaultValue={store.name} />
          <SelectField name="kind" label="What it is" defaultValue={store.kind}>
            {Object.entries(STORE_KINDS).map(([kind, says]) => (
              <option key={kind} value={kind}>
                {says}
              </option>
            ))}
          </SelectField>
        </ActionForm>
      </section>
      {store.closed.length > 0 ? (
        <section className="stack" aria-labelledby="closed">
          <h2 id="closed">Closed bins</h2>
          <ul className="plain-list stack">
            {store.closed.map((bin) => (
              <li key={bin.id} className="row spread">
                <Link href={paths.bin(bin.id)} className="number" prefetch={false}>
                  {bin.code}
                </Link>
                <ActionForm
                  action={reopenBin}
                  formKey={freshKey()}
                  hidden={{ binId: bin.id }}
                  submit="Open again"
                  submitClassName="button"
                  aria-label={`Open bin ${bin.code} again`}
                />
              </li>
            ))}
          </ul>
        </section>
      ) : null}
    </>
  )
}
