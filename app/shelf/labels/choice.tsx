import Link from 'next/link'
import { PartPicker } from '@/app/_parts/part-picker.tsx'
import { type LabelAddress, paths } from '@/app/paths.ts'
import type { Labelled } from '@/lib/db/label.ts'
import type { LabelAsked } from '@/lib/label/schema.ts'
import { counted } from '@/lib/measure/counted.ts'
import styles from './labels.module.css'

/** As many single ones are shown to be left out again. */
const SHOWN_MAX = 60

/** The addresses that leave one out name all the others: of a large store they would be longer than the page. */
const LEAVE_OUT_MAX = 200

/** What gets a label: a store at once, the fleet, an order, or one after the other. */
export function Choice(props: {
  asked: LabelAsked
  labels: readonly Labelled[]
  stores: readonly { id: number; name: string }[]
  paper: LabelAddress
  search: string
  order: number | null
}) {
  const { asked, labels, stores, paper, search, order } = props
  const { of } = asked
  const ids = labels.map((label) => label.id)
  const without = (id: number) => ids.filter((one) => one !== id).join(',')
  return (
    <section className="stack" aria-labelledby="what">
      <h2 id="what">What gets a label</h2>
      {of === 'machine' ? null : (
        <div className="row">
          {stores.map((store) => (
            <Link
              key={store.id}
              className="button"
              href={paths.labels({ ...paper, of, store: store.id })}
              prefetch={false}
            >
              {of === 'bin' ? 'All bins of' : of === 'part' ? 'All parts in' : 'All batches in'} {store.name}
            </Link>
          ))}
        </div>
      )}
      {of === 'machine' && asked.ids.length > 0 ? (
        <p>
          <Link className="button" href={paths.labels({ ...paper, of })} prefetch={false}>
            The whole fleet
          </Link>
        </p>
      ) : null}
      {of === 'part' && order !== null && asked.ids.length === 0 ? (
        <p>
          The parts of <Link href={paths.order(order)}>this order</Link>.
        </p>
      ) : null}
      {of === 'bin' ? (
        <p className="soft">
          One bin: open it under <Link href={paths.bins()}>Bins</Link> and choose Label.
        </p>
      ) : null}
      {of === 'batch' ? (
        <p className="soft">
          One batch: open it from its part and choose Label. The symbol is read as that of a maker: part, use-by date
          and batch. Where the label is too small for it, or a sign of the number does not go into it, it is that of the
          part, and the batch stands in words.
        </p>
      ) : null}
      {of === 'part' ? (
        <PartPicker
          query={search}
          action={paths.labels()}
          keeps={Object.fromEntries(
            Object.entries({ ...paper, of, ids: ids.join(',') }).map(([name, value]) => [name, value ?? '']),
          )}
          pick={(part) =>
            ids.includes(part.id) ? (
              <span className="soft">chosen</span>
            ) : (
              <Link
                className="button"
                href={paths.labels({ ...paper, of, ids: [...ids, part.id].join(','), q: search })}
                prefetch={false}
              >
                Add<span className="visually-hidden"> {part.number}</span>
              </Link>
            )
          }
        />
      ) : null}
      {labels.length > 0 ? (
        <details open={labels.length <= 12}>
          <summary className="button quiet">{counted(labels.length, 'label')}</summary>
          <ul className={`plain-list ${styles.chosen}`}>
            {labels.slice(0, SHOWN_MAX).map((label) => (
              <li key={label.id}>
                {labels.length > 1 && labels.length <= LEAVE_OUT_MAX ? (
                  <Link
                    className="button"
                    href={paths.labels({ ...paper, of, ids: without(label.id) })}
                    prefetch={false}
                    aria-label={`Leave out ${of} ${label.lead}`}
                  >
                    <span className="number">{label.lead}</span> <span aria-hidden="true">✕</span>
                  </Link>
                ) : (
                  <span className="number strong">{label.lead}</span>
                )}
              </li>
            ))}
            {labels.length > SHOWN_MAX ? <li className="soft">and {labels.length - SHOWN_MAX} more</li> : null}
          </ul>
        </details>
      ) : null}
    </section>
  )
}
