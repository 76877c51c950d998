import type { LabelAddress } from '@/app/paths.ts'
import { paths } from '@/app/paths.ts'
import { LABEL_SHEETS, labelsAPage } from '@/lib/label/label-sheet.ts'
import type { LabelAsked } from '@/lib/label/schema.ts'

/** Which paper and how; an ordinary form, so that the address holds it and can be kept. */
export function PaperFields({ asked, chosen }: { asked: LabelAsked; chosen: LabelAddress }) {
  const aPage = labelsAPage(asked.sheet)
  return (
    <section className="stack" aria-labelledby="paper">
      <h2 id="paper">Paper</h2>
      {/* The key: another address begins with what it says, not with what was typed for the last one. */}
      <form action={paths.labels()} className="stack" key={JSON.stringify([chosen, asked])}>
        {Object.entries(chosen).map(([name, value]) =>
          value === undefined ? null : <input type="hidden" key={name} name={name} value={value} />,
        )}
        <div className="field">
          <label htmlFor="sheet">Labels</label>
          <select id="sheet" name="sheet" defaultValue={asked.sheet.id}>
            {LABEL_SHEETS.map((sheet) => (
              <option key={sheet.id} value={sheet.id}>
                {sheet.says}
              </option>
            ))}
          </select>
        </div>
        <div className="field">
          <label htmlFor="symbol">Code</label>
          <select id="symbol" name="symbol" defaultValue={asked.symbol}>
            <option value="qr">QR code, for cameras</option>
            <option value="code-128">Bar code, for hand scanners with a line</option>
          </select>
        </div>
        <div className="row end">
          <NumberField name="copies" label="Copies of each" value={asked.copies} min={1} max={50} />
          <NumberField
            name="from"
            label={`Begin at label (1 to ${aPage})`}
            value={asked.from}
            min={1}
            max={Math.max(aPage, 1)}
          />
        </div>
        <details open={asked.right !== 0 || asked.down !== 0}>
          <summary className="button quiet">The printer prints beside the labels?</summary>
          <div className="row end">
            <NumberField name="right" label="Move right, mm" value={asked.right} min={-10} max={10} step={0.1} />
            <NumberField name="down" label="Move down, mm" value={asked.down} min={-10} max={10} step={0.1} />
          </div>
        </details>
        <div>
          <button type="submit" className="button">
            Show
          </button>
        </div>
      </form>
    </section>
  )
}

function NumberField(props: { name: string; label: string; value: number; min: number; max: number; step?: number }) {
  const { name, label, value, min, max, step } = props
  return (
    <div className="field">
      <label htmlFor={`labels-${name}`}>{label}</label>
      <input
        id={`labels-${name}`}
        name={name}
        type="number"
        className="input-number"
        defaultValue={value}
        min={min}
        max={max}
        step={step ?? 1}
      />
    </div>
  )
}
