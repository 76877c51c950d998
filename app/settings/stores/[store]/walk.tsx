import Link from 'next/link'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { BinRow, StoreView } from '@/lib/db/place-read.ts'
import { counted } from '@/lib/measure/counted.ts'
import { BIN_KINDS } from '@/lib/stock/bin-kind.ts'
import { walkBin } from '../actions.ts'
import styles from './store.module.css'

/** The bins in the order in which a person walks past them, each with two buttons that move it a step. */
export function Walk({ store, mayChange }: { store: StoreView; mayChange: boolean }) {
  const rows = (
    <ol className={`plain-list ${styles.walk}`}>
      {store.bins.map((bin) => (
        <li key={bin.id} className={styles.step}>
          <span className={styles.place}>{bin.place}</span>
          <span className={styles.bin}>
            <Link href={paths.bin(bin.id)} className="number strong" prefetch={false}>
              {bin.code}
            </Link>{' '}
            {bin.kind === 'shelf' ? null : <span className="badge">{BIN_KINDS[bin.kind].says}</span>}{' '}
            <span className="soft small">{bin.parts === 0 ? 'empty' : counted(bin.parts, 'part')}</span>
          </span>
          {mayChange ? <Steps bin={bin} storeId={store.id} last={store.bins.length} /> : null}
        </li>
      ))}
    </ol>
  )
  if (!mayChange) return rows
  return (
    <ActionForm action={walkBin} formKey={freshKey()} aria-label="Walking order">
      {rows}
    </ActionForm>
  )
}

function Steps({ bin, storeId, last }: { bin: BinRow; storeId: number; last: number }) {
  return (
    <span className={styles.steps}>
      <SubmitButton
        className="button quiet"
        name="step"
        value={`${bin.id} earlier`}
        aria-label={`${bin.code} earlier`}
        disabled={bin.place === 1}
      >
        ↑
      </SubmitButton>
      <SubmitButton
        className="button quiet"
        name="step"
        value={`${bin.id} later`}
        aria-label={`${bin.code} later`}
        disabled={bin.place === last}
      >
        ↓
      </SubmitButton>
      <Link
        className="button quiet"
        href={paths.store(storeId, { bin: bin.id })}
        prefetch={false}
        aria-label={`Change bin ${bin.code}`}
      >
        Change
      </Link>
    </span>
  )
}
