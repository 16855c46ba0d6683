// Loads this page again when it, or a stylesheet, script or picture that it shows, was made anew. `flipbook watch` puts
// this script into the pages that it shows; the files on the disk have none of it.
"use strict";

{
  let asOf = document.currentScript.dataset.asOf;
  let news = null;

  /** An address of this host as the server names it: no host, a folder's page by its name, nothing encoded. */
  const named = (address) => {
    const path = new URL(address, location.href).pathname;
    try {
      return decodeURIComponent(path.endsWith("/") ? `${path}index.html` : path);
    } catch {
      return path;
    }
  };

  /** All that this page shows, and its own address. */
  const shown = () => {
    const parts = document.querySelectorAll("img, script[src], link[rel~=stylesheet]");
    return [location.href, ...[...parts].map((part) => part.currentSrc || part.src || part.href)].map(named);
  };

  const again = () => {
    close();
    location.reload();
  };

  const close = () => {
    news?.close();
    news = null;
  };

  // A browser opens only a few connections to a host, so a page that nobody sees holds none.
  const open = () => {
    if (news || document.hidden) return;
    news = new EventSource(`/-/changes?since=${encodeURIComponent(asOf)}`);
    news.addEventListener("changed", (event) => {
      asOf = event.lastEventId;
      const changed = new Set(JSON.parse(event.data));
      if (shown().some((address) => changed.has(address))) again();
    });
    news.addEventListener("anew", again);
  };

  document.addEventListener("visibilitychange", () => (document.hidden ? close() : open()));
  addEventListener("pagehide", close);
  addEventListener("pageshow", open);
  open();
}
