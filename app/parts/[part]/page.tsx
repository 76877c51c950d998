import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { StockState } from '@/app/_parts/stock-state.tsx'
import { When } from '@/app/_parts/when.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type PartCard, partCard } from '@/lib/db/part.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat, quantityInput } from '@/lib/measure/quantity.ts'
import { mayDo, type Role } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { MOVEMENT_KINDS, type MovementKind } from '@/lib/stock/movement.ts'
import { setLevel } from './actions.ts'

export const metadata = { title: 'Part' }

export default async function PartCardPage({ params }: { params: Promise<{ part: string }> }) {
  const who = await signedIn()
  const part = await found(partCard(idOf((await params).part)))
  const show = (quantity: number) => quantityFormat(quantity, part.unit)
  const { currency } = settingsRead()
  return (
    <main className="page stack loose" id="page">
      <div className="page-head">
        <div>
          <p className="over">
            {part.maker}, {part.partClass.replace(/-/g, ' ')}
          </p>
          <h1>{part.description}</h1>
          <p className="number">{part.number}</p>
        </div>
        {mayDo(who.roles, 'stock.receive') ? (
          <Link className="button" href={paths.receive({ part: part.id })}>
            Receive
          </Link>
        ) : null}
      </div>
      <div className="columns">
        <section className="stack tight" aria-labelledby="shelf">
          <h2 id="shelf">On the shelf</h2>
          <p className="strong">
            <StockState stock={part.stock} unit={part.unit} reorderPoint={part.level?.reorderPoint} />
          </p>
          <dl className="facts">
            <dt>On hand</dt>
            <dd>{show(part.stock.onHand)}</dd>
            <dt>Allocated to jobs</dt>
            <dd>{show(part.stock.allocated)}</dd>
            <dt>Available</dt>
            <dd>{show(part.stock.available)}</dd>
            <dt>On order</dt>
            <dd>{show(part.stock.onOrder)}</dd>
          </dl>
          {part.bins.length > 0 ? (
            <ul className="plain-list">
              {part.bins.map((bin) => (
                <li key={bin.binId}>
                  <Link href={paths.bin(bin.binId)} className="number">
                    {bin.bin}
                  </Link>
                  , {bin.store}: <span className="strong">{show(bin.quantity)}</span>
                </li>
              ))}
            </ul>
          ) : (
            <p className="soft">In no bin.</p>
          )}
          {part.waiting.length > 0 ? (
            <ul className="plain-list">
              {part.waiting.map((need) => (
                <li key={need.jobId}>
                  <Link href={paths.job(need.jobId)}>Job {need.number}</Link> wants {show(need.wanted)},{' '}
                  {show(need.allocated)} kept for it
                </li>
              ))}
            </ul>
          ) : null}
          {part.onOrder.map((order) => (
            <p key={order.orderId}>
              {show(order.quantity)} on <Link href={paths.order(order.orderId)}>order {order.number}</Link>,{' '}
              {order.supplier}, due <When at={order.dueOn} />
            </p>
          ))}
        </section>
        <Replacement part={part} />
        <section className="stack tight" aria-labelledby="levels">
          <h2 id="levels">Level</h2>
          {part.level ? (
            <p>
              Reorder point {show(part.level.reorderPoint)}, order up to {show(part.level.orderUpTo)}.{' '}
              <span className="soft">{part.level.reason}</span>
            </p>
          ) : (
            <p className="soft">No reorder point yet: it comes on the order list only when a job waits for it.</p>
          )}
          <LevelForm part={part} roles={who.roles} />
          {part.offers.length > 0 ? (
            <ul className="plain-list small">
              {part.offers.map((offer) => (
                <li key={offer.supplier}>
                  {offer.supplier}
                  {offer.supplierNumber ? `, their number ${offer.supplierNumber}` : ''}:{' '}
                  {moneyFormat(offer.priceMinor, currency)} a {part.unit === 'each' ? 'piece' : part.unit}, packs of{' '}
                  {show(offer.pack)}
                  {offer.preferred ? ', preferred' : ''}
                </li>
              ))}
            </ul>
          ) : null}
        </section>
      </div>
      <section className="stack tight" aria-labelledby="used">
        <h2 id="used">Where used</h2>
        {part.whereUsed.length === 0 ? (
          <p className="soft">In no figure of a parts book.</p>
        ) : (
          <table className="parts fold">
            <thead>
              <tr>
                <th scope="col">Item</th>
                <th scope="col">Figure</th>
                <th scope="col">Model</th>
                <th scope="col" className="right">
                  Qty per assembly
                </th>
              </tr>
            </thead>
            <tbody>
              {part.whereUsed.map((use) => (
                <tr key={`${use.modelId} ${use.figureId} ${use.item}`}>
                  <td>
                    <span className="callout">{use.item}</span>
                  </td>
                  <td>
                    <Link href={paths.figure(use.modelId, use.figureId, { item: use.item })}>
                      {use.number} {use.figure}
                    </Link>
                  </td>
                  <td>{use.model}</td>
                  <td className="right" data-label="qty">
                    {show(use.quantity)}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
      </section>
      <section className="stack tight" aria-labelledby="movements">
        <h2 id="movements">Last movements</h2>
        {part.movements.length === 0 ? (
          <p className="soft">None yet.</p>
        ) : (
          <table className="parts fold">
            <thead>
              <tr>
                <th scope="col">When</th>
                <th scope="col">What</th>
                <th scope="col" className="right">
                  Quantity
                </th>
                <th scope="col" className="right">
                  Left in bin
                </th>
                <th scope="col">By, for</th>
              </tr>
            </thead>
            <tbody>
              {part.movements.map((move) => (
                <tr key={move.id}>
                  <td>
                    <When at={move.at} />
                  </td>
                  <td>
                    {MOVEMENT_KINDS[move.kind as MovementKind].says} {move.quantity > 0 ? 'into' : 'from'} {move.bin}
                    {move.reversedById ? ' (reversed)' : ''}
                  </td>
                  <td className="right">
                    {move.quantity > 0 ? '+' : '−'}
                    {show(Math.abs(move.quantity))}
                  </td>
                  <td className="right" data-label="left">
                    {show(move.balanceAfter)}
                  </td>
                  <td className="wide">
                    {move.person}
                    {move.job ? (
                      <>
                        , <Link href={paths.job(move.job.id)}>job {move.job.number}</Link>
                      </>
                    ) : null}
                    {move.reason ? <span className="soft">, {move.reason}</span> : null}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
      </section>
    </main>
  )
}

function Replacement({ part }: { part: PartCard }) {
  const some = part.replacedBy.length + part.replaces.length + part.contents.length + part.inKits.length > 0
  if (!some) return null
  const show = (quantity: number) => quantityFormat(quantity, part.unit)
  return (
    <section className="stack tight" aria-labelledby="instead">
      <h2 id="instead">Replaced, kits</h2>
      <ul className="plain-list stack tight">
        {part.replacedBy.map((other) => (
          <li key={other.id}>
            Superseded by <Link href={paths.part(other.id)}>{other.number}</Link>
            {other.ratio > 1 ? `, ${other.ratio} for one` : ''}
            {other.interchange === 'both-ways' ? ' (either fits)' : ' (the new one fits for the old, not back)'}:{' '}
            {show(other.available)} available
          </li>
        ))}
        {part.replaces.map((other) => (
          <li key={other.id}>
            Replaces <Link href={paths.part(other.id)}>{other.number}</Link>
            {other.interchange === 'both-ways' ? ' (either fits)' : ''}: {show(other.available)} of those left
          </li>
        ))}
        {part.orderable.id !== part.id ? (
          <li>
            To be ordered as <Link href={paths.part(part.orderable.id)}>{part.orderable.number}</Link>
            {part.orderable.ratio > 1 ? `, ${part.orderable.ratio} for one` : ''}.
          </li>
        ) : null}
        {part.inKits.map((kit) => (
          <li key={kit.id}>
            In kit <Link href={paths.part(kit.id)}>{kit.number}</Link> {kit.description}: {kit.available} available
          </li>
        ))}
      </ul>
      {part.contents.length > 0 ? (
        <>
          <h3>Kit contents</h3>
          <ul className="plain-list">
            {part.contents.map((content) => (
              <li key={content.id}>
                {content.quantity} x <Link href={paths.part(content.id)}>{content.number}</Link> {content.description}
              </li>
            ))}
          </ul>
        </>
      ) : null}
    </section>
  )
}

function LevelForm({ part, roles }: { part: PartCard; roles: readonly Role[] }) {
  if (!mayDo(roles, 'stock.level')) return null
  const unit = part.unit === 'each' ? 'pieces' : `${part.unit}s`
  return (
    <details>
      <summary className="button quiet">{part.level ? 'Change the level' : 'Set a level'}</summary>
      <ActionForm
        action={setLevel}
        formKey={freshKey()}
        submit="Keep this level"
        hidden={{ partId: part.id, unit: part.unit }}
      >
        <Field
          name="reorderPoint"
          label={`Reorder point, ${unit}`}
          hint="Ordered when what is there and coming, less what jobs want, is at or below this."
          inputMode="decimal"
          defaultValue={part.level ? quantityInput(part.level.reorderPoint, part.unit) : undefined}
        />
        <Field
          name="orderUpTo"
          label={`Order up to, ${unit}`}
          inputMode="decimal"
          defaultValue={part.level ? quantityInput(part.level.orderUpTo, part.unit) : undefined}
        />
        <Field name="reason" label="Why" defaultValue={part.level?.reason} />
      </ActionForm>
    </details>
  )
}
