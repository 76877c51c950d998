import type { Metadata } from 'next'
import Link from 'next/link'
import { BatchName } from '@/app/_parts/batch-name.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { QuarantineField } from '@/app/_parts/quarantine-field.tsx'
import { type PageQuery, queryId } from '@/app/_parts/query.ts'
import { todayIs } from '@/app/_parts/today.ts'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { binsList } from '@/lib/db/shelf.ts'
import { type SpoilRow, spoilAdvice, spoilList } from '@/lib/db/spoil.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat, quantityTypedAs } from '@/lib/measure/quantity.ts'
import { mayDo, type Role } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { daysBetween, daysLater, isExpired } from '@/lib/stock/batch.ts'
import { BIN_KINDS } from '@/lib/stock/bin-kind.ts'
import { move, scrap } from '../actions.ts'

export const metadata: Metadata = { title: 'Spoils soon' }

const WITHIN = [0, 30, 60, 90] as const

export default async function SpoilsPage({ searchParams }: { searchParams: PageQuery }) {
  const who = await signedIn()
  const asked = queryId((await searchParams).within)
  const within = WITHIN.find((days) => days === asked) ?? ((await searchParams).within === '0' ? 0 : 30)
  const today = todayIs()
  const [rows, bins] = await Promise.all([
    spoilList(within === 0 ? daysLater(today, -1) : daysLater(today, within)),
    binsList(),
  ])
  const { currency } = settingsRead()
  const total = rows.reduce((sum, row) => sum + row.valueMinor, 0)
  const quarantine = bins.filter((bin) => bin.kind === 'quarantine')
  return (
    <main className="page" id="page">
      <PageHead up={paths.shelf()} from="Shelf" title="Spoils soon" />
      <div className="stack">
        <nav className="row" aria-label="How soon">
          {WITHIN.map((days) => (
            <Link
              key={days}
              className="button"
              href={paths.spoils({ within: days })}
              aria-current={days === within ? 'page' : undefined}
              prefetch={false}
            >
              {days === 0 ? 'Expired' : `Within ${counted(days, 'day')}`}
            </Link>
          ))}
        </nav>
        {rows.length === 0 ? (
          <p className="empty">
            {within === 0 ? 'Nothing is past its use-by date.' : `Nothing spoils within ${counted(within, 'day')}.`} Of
            which parts the date is kept is said under{' '}
            <Link href={paths.batchSettings()}>Batches and use-by dates</Link>.
          </p>
        ) : (
          <>
            <p>
              {counted(rows.length, 'batch', 'batches')} worth <strong>{moneyFormat(total, currency)}</strong>, the
              earliest first.
            </p>
            <ul className="plain-list stack">
              {rows.map((row) => (
                <Row
                  key={`${row.batchId} ${row.binId}`}
                  row={row}
                  today={today}
                  currency={currency}
                  quarantine={quarantine}
                  roles={who.roles}
                />
              ))}
            </ul>
          </>
        )}
      </div>
    </main>
  )
}

function whenSays(expiresOn: string, today: string): string {
  const days = daysBetween(today, expiresOn)
  if (days === 0) return 'today is its last day'
  return days < 0 ? `${counted(-days, 'day')} over` : `${counted(days, 'day')} left`
}

function Row(props: {
  row: SpoilRow
  today: string
  currency: string
  quarantine: readonly { id: number; code: string; store: string }[]
  roles: readonly Role[]
}) {
  const { row, today, currency, quarantine, roles } = props
  const shown = quantityTypedAs(row.quantity, row.unit)
  const whole = { partId: row.partId, batchId: row.batchId, quantity: shown.value, unit: shown.unit }
  const isAsideNow = !BIN_KINDS[row.kind].free
  return (
    <li className="sheet stack tight">
      <h2>
        <Link href={paths.part(row.partId)} prefetch={false}>
          <span className="number">{row.number}</span>
        </Link>{' '}
        {row.description}
      </h2>
      <p>
        <BatchName batch={{ id: row.batchId, code: row.code, expiresOn: row.expiresOn }} today={today} link /> -{' '}
        {whenSays(row.expiresOn, today)}
      </p>
      <p>
        <span className="strong">{quantityFormat(row.quantity, row.unit)}</span> in{' '}
        <Link href={paths.bin(row.binId)} className="number" prefetch={false}>
          {row.bin}
        </Link>
        , {row.store}
        {isAsideNow ? (
          <>
            {' '}
            <span className="badge">{BIN_KINDS[row.kind].says}</span>
          </>
        ) : null}
        , worth {moneyFormat(row.valueMinor, currency)}. <span className="strong">{spoilAdvice(row, today)}.</span>
      </p>
      {row.kind === 'on-the-way' ? null : (
        <div className="row">
          {!isAsideNow && mayDo(roles, 'stock.transfer') ? (
            <details>
              <summary className="button">
                Move to quarantine<span className="visually-hidden">, batch {row.code}</span>
              </summary>
              {quarantine.length === 0 ? (
                <p className="soft">
                  There is no quarantine bin yet: set one up under <Link href={paths.stores()}>Stores and bins</Link>.
                </p>
              ) : (
                <ActionForm
                  action={move}
                  formKey={freshKey()}
                  hidden={{ ...whole, fromBinId: row.binId }}
                  submit={`Move ${quantityFormat(row.quantity, row.unit)}`}
                  submitClassName="button primary"
                  aria-label={`Move batch ${row.code} to quarantine`}
                >
                  <QuarantineField bins={quarantine} />
                </ActionForm>
              )}
            </details>
          ) : null}
          {mayDo(roles, 'stock.scrap') ? (
            <details>
              <summary className="button quiet">
                Scrap<span className="visually-hidden">, batch {row.code}</span>
              </summary>
              <ActionForm
                action={scrap}
                formKey={freshKey()}
                hidden={{ ...whole, binId: row.binId }}
                submit={`Scrap ${quantityFormat(row.quantity, row.unit)}`}
                submitClassName="button"
                aria-label={`Scrap batch ${row.code}`}
              >
                <p className="caution">
                  Sealants, greases and batteries are no ordinary rubbish: follow the safety sheet and the local rules
                  for waste.
                </p>
                <Field
                  name="reason"
                  label="Why"
                  maxLength={200}
                  autoComplete="off"
                  defaultValue={isExpired(row.expiresOn, today) ? `use-by date ${row.expiresOn} is past` : undefined}
                />
              </ActionForm>
            </details>
          ) : null}
        </div>
      )}
    </li>
  )
}
