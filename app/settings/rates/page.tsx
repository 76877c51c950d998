import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import { When } from '@/app/_parts/when.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type CurrencyKept, ratesKept } from '@/lib/db/currency-rate.ts'
import { mayDo } from '@/lib/people/role.ts'
import { rateSays } from '@/lib/price/rate.ts'
import { settingsRead } from '@/lib/settings.ts'
import { keepRate } from './actions.ts'

export const metadata: Metadata = { title: 'Rates of other currencies' }

export default async function RatesPage() {
  const who = await signedIn()
  const { currency: home } = settingsRead()
  const today = todayIs()
  const { currencies, last } = await ratesKept(today)
  return (
    <main className="page narrow stack loose" id="page">
      <PageHead up={paths.settings()} from="Settings" title="Rates of other currencies">
        <Link className="button" href={paths.suppliers()} prefetch={false}>
          Suppliers
        </Link>
      </PageHead>
      <p>
        The workshop keeps its money in {home}. A supplier may ask another currency: its prices are kept as it asks
        them, and compared and summed by the newest rate up to the day. An order keeps the rate of its own day.
      </p>
      {currencies.length === 0 ? (
        <p className="empty">Every supplier asks {home}, so no rate is needed.</p>
      ) : (
        <ul className="plain-list stack">
          {currencies.map((one) => (
            <Currency key={one.currency} one={one} home={home} />
          ))}
        </ul>
      )}
      {mayDo(who.roles, 'buying.order') ? (
        <section className="stack" aria-labelledby="keep">
          <h2 id="keep">Keep a rate</h2>
          <ActionForm action={keepRate} formKey={freshKey()} submit="Keep it" className="stack">
            <Field
              name="currency"
              label="Currency"
              hint="Three letters by ISO 4217, such as EUR."
              maxLength={3}
              autoComplete="off"
              className="input-number"
              defaultValue={currencies.find(({ now }) => now === null)?.currency ?? currencies[0]?.currency}
            />
            <Field
              name="rateMicro"
              label={`One unit of it, in ${home}`}
              hint="As your bank or a newspaper says it, such as 0.8534."
              inputMode="decimal"
              autoComplete="off"
              className="input-number"
            />
            <Field name="day" label="Day of the rate" type="date" defaultValue={today} max={today} />
          </ActionForm>
        </section>
      ) : (
        <MayNot right="buying.order" />
      )}
      {last.length > 0 ? (
        <section className="stack tight" aria-labelledby="kept">
          <h2 id="kept">Kept so far</h2>
          <table className="parts">
            <thead>
              <tr>
                <th scope="col">Day</th>
                <th scope="col">Currency</th>
                <th scope="col" className="right">
                  {home}
                </th>
                <th scope="col">By</th>
              </tr>
            </thead>
            <tbody>
              {last.map(({ id, day, currency, rateMicro, person }) => (
                <tr key={id}>
                  <td>
                    <When at={day} />
                  </td>
                  <td>{currency}</td>
                  <td className="right">{rateSays(rateMicro)}</td>
                  <td>{person}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      ) : null}
    </main>
  )
}

function Currency({ one: { currency, now, suppliers }, home }: { one: CurrencyKept; home: string }) {
  return (
    <li className="sheet stack tight">
      <h2>{currency}</h2>
      {now ? (
        <p>
          1 {currency} is {rateSays(now.rateMicro)} {home}, of <When at={now.day} />
        </p>
      ) : (
        <p className="strong">
          <span aria-hidden="true">▲ </span>No rate yet: nothing of these suppliers can be compared or ordered.
        </p>
      )}
      {suppliers.length === 0 ? (
        <p className="soft small">No supplier asks it.</p>
      ) : (
        <p className="small">
          Asked by{' '}
          {suppliers.map(({ id, name }, at) => (
            <span key={id}>
              {at > 0 ? ', ' : ''}
              <Link href={paths.supplier(id)} prefetch={false}>
                {name}
              </Link>
            </span>
          ))}
        </p>
      )}
    </li>
  )
}
