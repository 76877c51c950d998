import { BatchName } from '@/app/_parts/batch-name.tsx'
import { unitSays } from '@/app/_parts/quantity-field.tsx'
import { QuantityStepper } from '@/app/_parts/quantity-stepper.tsx'
import { todayIs } from '@/app/_parts/today.ts'
import type { NeedView } from '@/lib/db/job-read.ts'
import { positionsSay } from '@/lib/job/need-rows.ts'
import { type PickLine, type PickRow, pickRowName, pickRows } from '@/lib/job/pick-list.ts'
import { quantityFormat, quantityTypedAs, typedStep } from '@/lib/measure/quantity.ts'
import styles from './take.module.css'

/** A line a bin: the bin large, what lies there, how many, and taken. */
export function PickLines(props: {
  lines: readonly PickLine[]
  needOf: ReadonlyMap<number, NeedView>
  mayTake: boolean
}) {
  return (
    <ol className={styles.lines}>
      {pickRows(props.lines).map((row) => (
        <Line
          key={pickRowName(row)}
          line={row}
          needs={row.needs.map(({ needId }) => props.needOf.get(needId)!)}
          mayTake={props.mayTake}
        />
      ))}
    </ol>
  )
}

function Line({ line, needs, mayTake }: { line: PickRow; needs: NeedView[]; mayTake: boolean }) {
  const need = needs[0]!
  const { unit, number } = need.part!
  const shown = quantityTypedAs(line.quantity, unit)
  const codes = need.kind === 'part' ? [...new Set(needs.flatMap((one) => one.positions))] : []
  const places = codes.length > 0 ? ` (${positionsSay(codes)})` : ''
  const name = pickRowName(line)
  return (
    <li className={styles.line} data-scan-row={`part-${need.part!.id}`}>
      <p className={styles.bin}>
        <span className="visually-hidden">Bin </span>
        <span className="number">{line.bin}</span>
        <span className={styles.store}>{line.store}</span>
      </p>
      <p className={styles.part}>
        <span className="number strong">{number}</span> {need.description}
        {places}
        {need.insteadOf ? <span className="small soft"> {need.insteadOf}</span> : null}
        {line.batch ? (
          <span className={styles.batch}>
            <BatchName batch={line.batch} today={todayIs()} />
          </span>
        ) : null}
      </p>
      {mayTake ? (
        <>
          <div className={styles.quantity}>
            <QuantityStepper
              key={line.quantity}
              name={`take.${name}.${shown.unit}`}
              label={`Quantity of ${need.description}${places} from ${line.bin}${line.batch ? `, batch ${line.batch.code}` : ''}${unit === 'each' ? '' : `, ${unitSays(shown.unit)}`}`}
              value={shown.value}
              step={typedStep(shown.unit)}
              sign={shown.sign}
            />
          </div>
          <button type="submit" className={`button ${styles.take}`} name="only" value={name} data-scan-focus>
            Take this line
            <span className="visually-hidden">
              : {need.description}
              {places} from {line.bin}
              {line.batch ? `, batch ${line.batch.code}` : ''}
            </span>
          </button>
        </>
      ) : (
        <p className={styles.quantity}>{quantityFormat(line.quantity, unit)}</p>
      )}
    </li>
  )
}
