'use client'

import { useEffect, useState } from 'react'
import { KEY_FIELD } from './form-data.ts'
import { freshKey } from './fresh-key.ts'

/**
 * The idempotency key of a form. It stays the same until the write it stands for is answered, so a double click, a retry and a
 * corrected form are one write; after that the form gets a new one. `initial` comes from the server, for forms that are sent
 * without scripts; a form that only ever opens in the browser may leave it out.
 */
export function KeyField({ initial, answered }: { initial?: string; answered?: string | null }) {
  const [key, setKey] = useState(initial ?? '')
  useEffect(() => {
    if (key === '' || key === answered) setKey(freshKey())
  }, [key, answered])
  // Without autoComplete off, a reload may bring the value before last back.
  return <input type="hidden" name={KEY_FIELD} value={key} autoComplete="off" />
}
