import Link from 'next/link'
import { QuantityField } from '@/app/_parts/quantity-field.tsx'
import { When } from '@/app/_parts/when.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import type { AnswerLine, AnswerOrder } from '@/lib/replenish/plan-answer.ts'
import type { KeptPlan } from '@/lib/replenish/plan-kept.ts'
import { refuseOffer, setQuantity } from './actions.ts'
import { PartName, PeggedTo, type Views } from './pegging.tsx'
import styles from './plan.module.css'

interface Props {
  order: AnswerOrder
  plan: KeptPlan
  views: Views
  mayChange: boolean
}

/** One order of the plan: a supplier on a day, its lines and what each is for. */
export function PlanOrderSheet({ order, plan, views, mayChange }: Props) {
  const { currency } = plan.answer
  const supplierId = plan.names.suppliers[order.supplier]!
  const head = `order-${supplierId}-${order.orderOn}`
  const money = (minor: number) => moneyFormat(minor, currency)
  return (
    <section className="sheet stack" aria-labelledby={head}>
      <div className="stack tight">
        <h2 id={head}>
          <Link href={paths.supplier(supplierId)} prefetch={false}>
            {order.supplier}
          </Link>
        </h2>
        <p>
          <span className="strong">
            {order.orderOn === plan.today ? (
              'Order today'
            ) : (
              <>
                Order on <When at={order.orderOn} />
              </>
            )}
          </span>
          {order.orderBy > order.orderOn ? (
            <>
              ; <When at={order.orderBy} /> is the last day that is early enough
            </>
          ) : (
            '; later is too late'
          )}
          . There on <When at={order.arrives} />.
        </p>
      </div>
      <table className="parts fold">
        <caption className="visually-hidden">To order from {order.supplier}</caption>
        <thead>
          <tr>
            <th scope="col">Part</th>
            <th scope="col" className="right">
              Quantity
            </th>
            <th scope="col" className="right">
              Cost
            </th>
            <th scope="col">For</th>
            {mayChange ? <th scope="col">By hand</th> : null}
          </tr>
        </thead>
        <tbody>
          {order.lines.map((line) => (
            <Line key={line.offer} line={line} plan={plan} views={views} mayChange={mayChange} />
          ))}
        </tbody>
      </table>
      <div className={styles.foot}>
        <p>
          Goods <span className="strong">{money(order.goodsMinor)}</span>
        </p>
        <p>
          {order.carriageMinor === 0 ? (
            'No carriage'
          ) : (
            <>
              Carriage <span className="strong">{money(order.carriageMinor)}</span>
            </>
          )}
        </p>
        {mayChange ? (
          <ActionForm
            action={refuseOffer}
            formKey={freshKey()}
            hidden={{ supplierId }}
            className={`no-print ${styles.last}`}
            submit={
              <>
                Nothing from this supplier<span className="visually-hidden">: {order.supplier}</span>
              </>
            }
            submitClassName="button quiet"
          />
        ) : null}
      </div>
    </section>
  )
}

function Line({ line, plan, views, mayChange }: { line: AnswerLine } & Omit<Props, 'order'>) {
  const { supplierId, partId } = plan.names.offers[line.offer]!
  const part = views.part(line.part ?? Object.entries(plan.names.parts).find(([, id]) => id === partId)?.[0] ?? '')
  return (
    <tr>
      <td className="wide">
        <PartName part={part} />
      </td>
      <td className="right" data-label="Quantity">
        <span className="strong">{quantityFormat(line.quantity, part.unit)}</span>{' '}
        <span className="soft small">{line.packs === line.quantity ? null : counted(line.packs, 'pack')}</span>
      </td>
      <td className={`right ${styles.money}`} data-label="Cost">
        {moneyFormat(line.priceMinor, plan.answer.currency)}
      </td>
      <td className="wide small">
        <ul className="plain-list">
          {line.pegged.map((one) => (
            <li key={one.need}>
              <PeggedTo one={one} views={views} bought={line.part} />
            </li>
          ))}
          {line.spare.map(({ part: label, quantity }) => (
            <li key={label} className="soft">
              {quantityFormat(quantity, views.part(label).unit)}
              {label === line.part ? null : ` x ${views.part(label).number}`} over
            </li>
          ))}
        </ul>
      </td>
      {mayChange ? (
        <td className="wide no-print">
          <details>
            <summary className={styles.change}>
              Change<span className="visually-hidden"> {part.number}</span>
            </summary>
            <div className="stack tight">
              <ActionForm
                action={setQuantity}
                formKey={freshKey()}
                hidden={{ supplierId, partId }}
                className="stack tight"
                aria-label={`Quantity of ${part.number}`}
              >
                <QuantityField name="quantity" label="Quantity" unit={part.unit} value={line.quantity} />
                <SubmitButton className="button">Set</SubmitButton>
              </ActionForm>
              <ActionForm
                action={refuseOffer}
                formKey={freshKey()}
                hidden={{ supplierId, partId }}
                submit="Not from here"
                submitClassName="button quiet"
              />
            </div>
          </details>
        </td>
      ) : null}
    </tr>
  )
}
