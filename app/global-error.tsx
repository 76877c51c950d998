'use client'

import './base.css'
import Wrong from './error.tsx'

/** Where even the frame of the screens cannot be made: the same words, on a page of their own. */
export default function FrameError(props: Parameters<typeof Wrong>[0]) {
  return (
    <html lang="en-GB">
      <body>
        <Wrong {...props} />
      </body>
    </html>
  )
}
