// A link may carry the token behind a # so that it reaches no log on the way.
const given = /^#token=(.+)$/.exec(location.hash);
if (given) {
  history.replaceState(null, '', location.pathname);
  document.getElementById('token').value = decodeURIComponent(given[1]);
  document.querySelector('form').requestSubmit();
}
