'use client'

import { useReady } from '@/app/_parts/use-ready.ts'

/**
 * Fills in what is due on every line that is still empty: for a delivery that was counted and is as ordered. Without scripts it
 * could do nothing and is not there.
 */
export function AllCame() {
  if (!useReady()) return null
  return (
    <p>
      <button
        type="button"
        className="button"
        onClick={({ currentTarget }) => {
          for (const field of currentTarget.form?.querySelectorAll<HTMLInputElement>('input[data-due]') ?? [])
            if (field.value === '') field.value = field.dataset.due ?? ''
        }}
      >
        All came as ordered
      </button>
    </p>
  )
}
