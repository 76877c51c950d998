import { PART_CLASSES, partClassSays } from '@/lib/catalogue/part-class.ts'
import type { SearchWish } from '@/lib/db/search-filter.ts'
import styles from './search-form.module.css'

export interface SearchAddress {
  q?: string | string[]
  model?: string | string[]
  machine?: string | string[]
  shelf?: string | string[]
  class?: string | string[]
}

export interface Narrow {
  q: string
  wish: SearchWish
}

const first = (value: string | string[] | undefined) => ((Array.isArray(value) ? value[0] : value) ?? '').slice(0, 200)

/** What the address asks for; what cannot be read is as if it were not there. */
export function narrowRead(address: SearchAddress): Narrow {
  const model = first(address.model)
  return {
    q: first(address.q),
    wish: {
      modelId: /^\d{1,15}$/.test(model) ? Number(model) : undefined,
      machine: first(address.machine).trim(),
      onShelf: first(address.shelf) !== '',
      partClass: first(address.class),
    },
  }
}

/** The question and what narrows it, sent by address, so that an answer can be kept as a bookmark and shown to somebody. */
export function SearchForm(props: { narrow: Narrow; open: boolean; models: readonly { id: number; says: string }[] }) {
  const { q, wish } = props.narrow
  return (
    <form action="/search" className="stack" aria-label="Search">
      <div className="row end">
        <div className="field">
          <label htmlFor="q">Number, word of the trade, machine, symptom</label>
          <input id="q" type="search" name="q" defaultValue={q} />
        </div>
        <button className="button primary" type="submit">
          Search
        </button>
      </div>
      <details open={props.open}>
        <summary className="button">Narrow</summary>
        <div className={`columns ${styles.narrow}`}>
          <div className="field">
            <label htmlFor="model">Used on model</label>
            <select id="model" name="model" defaultValue={wish.modelId ?? ''}>
              <option value="">any</option>
              {props.models.map((model) => (
                <option key={model.id} value={model.id}>
                  {model.says}
                </option>
              ))}
            </select>
          </div>
          <div className="field">
            <label htmlFor="machine">Fits machine (fleet or serial number)</label>
            <input id="machine" name="machine" defaultValue={wish.machine} autoComplete="off" />
          </div>
          <div className="field">
            <label htmlFor="class">Class of part</label>
            <select id="class" name="class" defaultValue={wish.partClass ?? ''}>
              <option value="">any</option>
              {PART_CLASSES.map((one) => (
                <option key={one} value={one}>
                  {partClassSays(one)}
                </option>
              ))}
            </select>
          </div>
          <label className="tick">
            <input type="checkbox" name="shelf" value="1" defaultChecked={wish.onShelf} />
            <span>On shelf now</span>
          </label>
        </div>
      </details>
    </form>
  )
}
