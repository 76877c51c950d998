import Link from 'next/link'
import { FreeState } from '@/app/_parts/free-state.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { KitChoice } from '@/lib/catalogue/kit-choice.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import type { FreeStock } from '@/lib/stock/free.ts'
import { chooseKit } from '../actions.ts'
import styles from './needed.module.css'

/** Kits that can stand in for several rows: what they cost against the parts singly, whether they are there, and one tap. */
export function KitOffers(props: {
  kits: readonly { choice: KitChoice; free: FreeStock; bins: string[] }[]
  unitOf: ReadonlyMap<number, StockUnit>
  jobId: number
  currency: string
}) {
  const says = (list: KitChoice['covers']) =>
    list
      .map((one) => `${quantityFormat(one.quantity, props.unitOf.get(one.partId) ?? 'each')} x ${one.number}`)
      .join(', ')
  return props.kits.map(({ choice, free, bins }) => (
    <li key={choice.kit.kitId} id={`kit-${choice.kit.number}`} className={`${styles.row} ${styles.kit}`}>
      <p className="strong">
        As kit{' '}
        <Link href={paths.part(choice.kit.kitId)} className="number" prefetch={false}>
          {choice.kit.number}
        </Link>
        : {choice.kits} x {choice.kit.description}
      </p>
      <p>
        <Prices choice={choice} currency={props.currency} />
      </p>
      <p className="small">
        <FreeState free={free} unit="each" bins={bins} />
      </p>
      <p className="small soft">
        In place of {says(choice.covers)}.{choice.over.length > 0 ? ` Left over: ${says(choice.over)}.` : ''}
      </p>
      <div className={styles.answer}>
        <ActionForm
          action={chooseKit}
          formKey={freshKey()}
          className=""
          submit={`Take kit ${choice.kit.number} instead`}
          submitClassName="button"
          hidden={{ jobId: props.jobId, kitId: choice.kit.kitId }}
        />
      </div>
    </li>
  ))
}

function Prices({ choice, currency }: { choice: KitChoice; currency: string }) {
  const { asKitMinor, singlyMinor } = choice
  const says = (minor: number | null) => (minor === null ? 'price not known' : moneyFormat(minor, currency))
  const less = asKitMinor !== null && singlyMinor !== null ? singlyMinor - asKitMinor : 0
  return (
    <>
      As kit <span className="strong">{says(asKitMinor)}</span>, singly{' '}
      <span className="strong">{says(singlyMinor)}</span>
      {less > 0 ? `: ${moneyFormat(less, currency)} less` : less < 0 ? `: ${moneyFormat(-less, currency)} more` : ''}
    </>
  )
}
