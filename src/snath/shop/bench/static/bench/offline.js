// Has this browser keep what answers where the bench does not. Pages work without it.
if ("serviceWorker" in navigator) navigator.serviceWorker.register("/worker.js").catch(() => { /* no connection a browser trusts: online only */ });
