'use client'

import { useFormState } from '@/app/_server/form-state.tsx'

/**
 * The tick that puts a line on the order. It begins ticked, but where the part stands in a draft already; after a refusal it is as
 * the person left it.
 */
export function LineTick(props: { partId: number; number: string; begins?: boolean; says?: string }) {
  const { partId, number, begins = true, says = 'Order' } = props
  const { refused } = useFormState()
  const isTicked = refused === null ? begins : [refused.values.chosen].flat().includes(String(partId))
  return (
    <label className="tick">
      {/* The key: a browser resets a box to how it began, a new one begins as it should. */}
      <input key={String(isTicked)} type="checkbox" name="chosen" value={partId} defaultChecked={isTicked} />
      <span className="visually-hidden">
        {says} {number}
      </span>
    </label>
  )
}
