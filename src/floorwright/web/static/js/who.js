/** Whose page this is, as the server wrote it into its head: "" where it says nothing. */

const meta = (name) => document.querySelector(`meta[name="${name}"]`)?.content ?? "";

/** The shop whose page this is: numbers in an item mean that shop's records and no other's. */
export const shopOf = () => meta("fw-shop");

/** Who is signed in on this page; "" for a device or computer that several people share, and for a stranger. */
export const ownerOf = () => meta("fw-owner");

/** Who looks at this page, a shared device too; "" for a stranger. */
export const viewerOf = () => meta("fw-viewer");

/** What people call who looks at this page; "" for a stranger. */
export const viewerName = () => meta("fw-viewer-name");

/** Whether this browser was let in until somebody ended that: shut out, or the password changed. */
export const wasShutOut = () => meta("fw-shut-out") !== "";
