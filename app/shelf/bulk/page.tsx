import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { type PageQuery, queryText } from '@/app/_parts/query.ts'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { CRITICALITIES } from '@/lib/catalogue/schema.ts'
import { bulkPreview } from '@/lib/db/bulk.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'
import { BULK_MAX, BulkChange, type BulkRow, CLASS_CHOICES } from '@/lib/stock/bulk.ts'
import { type TableQuestion, USUAL_COLUMNS } from '@/lib/stock/table.ts'
import { tableAddress, tableQuestion } from '../table-question.ts'
import { changeMany } from './actions.ts'

export const metadata: Metadata = { title: 'Change many parts' }

const WHATS = { criticality: 'Criticality', class: 'Class', levels: 'Levels' } as const

export default async function BulkPage({ searchParams }: { searchParams: PageQuery }) {
  const who = await signedIn()
  const asked = await searchParams
  const question = tableQuestion(asked)
  const wished = queryText(asked.what)
  const what = wished === 'class' || wished === 'levels' ? wished : 'criticality'
  const change = BulkChange.safeParse({
    what,
    to: queryText(asked.to),
    reorder: queryText(asked.reorder),
    upTo: queryText(asked.upTo),
  })
  const hasAsked = asked.to !== undefined || asked.reorder !== undefined
  const rows = change.success && hasAsked ? await bulkPreview(question, change.data) : undefined
  const address = tableAddress(question, USUAL_COLUMNS)
  return (
    <main className="page stack" id="page">
      <PageHead up={paths.shelf(address)} from="Shelf" title="Change many parts" />
      {mayDo(who.roles, 'stock.level') ? (
        <>
          <p>
            For {asksSay(question)}. Nothing is changed before you have seen the list.{' '}
            <Link href={paths.shelf(address)} prefetch={false}>
              Ask the stock table for something else
            </Link>
          </p>
          <nav className="row" aria-label="What is changed">
            {Object.entries(WHATS).map(([one, says]) => (
              <Link
                key={one}
                className={one === what ? 'button' : 'button quiet'}
                aria-current={one === what ? 'true' : undefined}
                href={paths.shelfBulk({ ...address, what: one })}
                prefetch={false}
              >
                {says}
              </Link>
            ))}
          </nav>
          <ChangeFields what={what} asked={asked} address={address} />
          {rows === null ? (
            <p className="caution">
              More than {BULK_MAX.toLocaleString('en-GB')} parts answer that. Ask the stock table for fewer first.
            </p>
          ) : rows && change.success ? (
            <Preview rows={rows} change={change.data} />
          ) : null}
        </>
      ) : (
        <MayNot right="stock.level" />
      )}
    </main>
  )
}

function asksSay({ search, storeId, state }: TableQuestion): string {
  const said = [
    search === '' ? '' : `that answers “${search}”`,
    storeId === null ? '' : 'in the chosen store',
    state === 'low' ? 'at or below its reorder point' : state === 'none' ? 'of which none is free' : '',
  ].filter((one) => one !== '')
  return said.length === 0 ? 'every part of the shelf' : `every part ${said.join(', ')}`
}

async function ChangeFields(props: {
  what: keyof typeof WHATS
  asked: Record<string, string | string[] | undefined>
  address: Record<string, string | number | undefined>
}) {
  const { what, asked, address } = props
  const choices = what === 'class' ? CLASS_CHOICES : CRITICALITIES.map((value) => ({ value, says: value }))
  return (
    <form action={paths.shelfBulk()} className="row end">
      {Object.entries({ ...address, what }).map(([name, value]) =>
        value === undefined ? null : <input key={name} type="hidden" name={name} value={value} />,
      )}
      {what === 'levels' ? (
        <>
          <div className="field">
            <label htmlFor="bulk-reorder">Reorder point</label>
            <input
              id="bulk-reorder"
              name="reorder"
              className="input-number"
              inputMode="decimal"
              autoComplete="off"
              defaultValue={queryText(asked.reorder)}
            />
          </div>
          <div className="field">
            <label htmlFor="bulk-up-to">Order up to</label>
            <input
              id="bulk-up-to"
              name="upTo"
              className="input-number"
              inputMode="decimal"
              autoComplete="off"
              defaultValue={queryText(asked.upTo)}
            />
          </div>
        </>
      ) : (
        <div className="field">
          <label htmlFor="bulk-to">{WHATS[what]} from now on</label>
          <select id="bulk-to" name="to" defaultValue={queryText(asked.to) || undefined}>
            {choices.map(({ value, says }) => (
              <option key={value} value={value}>
                {says}
              </option>
            ))}
          </select>
        </div>
      )}
      <button type="submit" className="button">
        Show what it would change
      </button>
    </form>
  )
}

function Preview({ rows, change }: { rows: readonly BulkRow[]; change: BulkChange }) {
  const changed = rows.filter((row) => row.state === 'change')
  const cannot = rows.filter((row) => row.state === 'cannot')
  const same = rows.length - changed.length - cannot.length
  const { what, ...to } = change
  return (
    <section className="stack tight" aria-labelledby="preview">
      <h2 id="preview">
        {changed.length === 0 ? 'Nothing would change' : `${counted(changed.length, 'part')} would change`}
      </h2>
      <p>
        {same === 0 ? '' : `${counted(same, 'part')} ${same === 1 ? 'is' : 'are'} so already. `}
        {cannot.length === 0 ? '' : `${counted(cannot.length, 'part')} cannot be changed so, see below. `}
        {changed.length === 0 ? '' : 'Take the tick off what should stay as it is.'}
      </p>
      {/* Stays when nothing is left to change: it says what was. */}
      <ActionForm action={changeMany} formKey={freshKey()} hidden={{ what, ...to }} aria-label="Change these parts">
        {changed.length === 0 ? null : (
          <>
            <table className="parts fold">
              <thead>
                <tr>
                  <th scope="col">Change</th>
                  <th scope="col">Part</th>
                  <th scope="col">Now</th>
                  <th scope="col">Then</th>
                </tr>
              </thead>
              <tbody>
                {changed.map((row) => (
                  <tr key={row.partId}>
                    <td>
                      <label className="tick">
                        <input type="checkbox" name={`part.${row.partId}`} value={row.before} defaultChecked />
                        <span className="visually-hidden">Change {row.number}</span>
                      </label>
                    </td>
                    <td className="wide">
                      <Link href={paths.part(row.partId)} className="number" prefetch={false}>
                        {row.number}
                      </Link>{' '}
                      {row.description}
                    </td>
                    <td data-label="now">{row.before}</td>
                    <td data-label="then">{row.after}</td>
                  </tr>
                ))}
              </tbody>
            </table>
            <Field name="reason" label="Why" maxLength={200} autoComplete="off" />
            <div className="main-action">
              <SubmitButton>Change them</SubmitButton>
            </div>
          </>
        )}
      </ActionForm>
      {cannot.length > 0 ? (
        <ul className="plain-list stack tight">
          {cannot.map((row) => (
            <li key={row.partId}>
              <Link href={paths.part(row.partId)} className="number" prefetch={false}>
                {row.number}
              </Link>{' '}
              {row.description}: {row.after}
            </li>
          ))}
        </ul>
      ) : null}
    </section>
  )
}
