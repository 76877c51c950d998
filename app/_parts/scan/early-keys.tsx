import { headers } from 'next/headers'

declare global {
  /** What was pressed before the page listened, with what its field held then; nothing is kept any more once it does. */
  var keysEarly: [KeyboardEvent, string | undefined][] | undefined
}

/** Runs while the page is still being read: a scanner is quicker than the scripts that listen to it. */
const KEEP = "var keysEarly=[];addEventListener('keydown',(event)=>keysEarly?.push([event,event.target.value]),true)"

export async function EarlyKeys() {
  const policy = (await headers()).get('content-security-policy') ?? ''
  // Browsers hide the nonce from scripts, so what React finds on the page is empty.
  return (
    <script nonce={/'nonce-([^']+)'/.exec(policy)?.[1]} suppressHydrationWarning>
      {KEEP}
    </script>
  )
}
