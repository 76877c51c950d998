'use client'

/** Fills in what is due on every line that is still empty: for a delivery that was counted and is as ordered. */
export function AllCame() {
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
