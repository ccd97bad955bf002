// What the page can do without: send a file as soon as it is chosen or dropped, and copy the command.
'use strict';
document.querySelectorAll('[data-quiet]').forEach(function (b) { b.hidden = true; });
document.querySelectorAll('input[data-send]').forEach(function (i) {
  i.addEventListener('change', function () { if (i.files.length) i.form.submit(); });
});
document.querySelectorAll('[data-copy]').forEach(function (b) {
  if (!navigator.clipboard) return;
  b.hidden = false;
  b.addEventListener('click', function () {
    navigator.clipboard.writeText(document.getElementById(b.dataset.copy).textContent).then(function () { b.textContent = 'Copied'; });
  });
});
// A file may be dropped anywhere on the page.
var over = 0, vessel = document.querySelector('.vessel');
function lit(by) { over = Math.max(0, over + by); if (vessel) vessel.classList.toggle('over', over > 0); }
document.addEventListener('dragenter', function () { lit(1); });
document.addEventListener('dragleave', function () { lit(-1); });
document.addEventListener('dragover', function (e) { e.preventDefault(); });
document.addEventListener('drop', function (e) {
  e.preventDefault(); lit(-over);
  var to = document.querySelector('input[data-send]');
  if (!to || !e.dataTransfer.files.length) return;
  to.files = e.dataTransfer.files;
  to.form.submit();
});
// What is typed into a form outlives a reload, in this window alone; more jars need no new page.
document.documentElement.classList.add('js');
function jarRows() { return document.querySelectorAll('tr[data-jar]'); }
function addJar() {
  var all = jarRows(), last = all[all.length - 1], row = last.cloneNode(true), no = all.length + 1;
  row.querySelector('th').textContent = no;
  row.querySelectorAll('.wrong').forEach(function (x) { x.remove(); });
  row.querySelectorAll('input').forEach(function (i) {
    i.value = '';
    i.name = i.name.replace(/-\d+$/, '-' + no);
    i.removeAttribute('aria-invalid');
    i.removeAttribute('aria-describedby');
    i.setAttribute('aria-label', i.getAttribute('aria-label').replace(/^Jar \d+/, 'Jar ' + no));
  });
  last.parentNode.appendChild(row);
}
document.querySelectorAll('[data-more]').forEach(function (b) {
  b.addEventListener('click', function (e) {
    e.preventDefault();
    for (var n = 0; n < 6 && jarRows().length < 24; n++) addJar();
    b.hidden = jarRows().length >= 24;
  });
});
document.querySelectorAll('form[data-keep]').forEach(function (f) {
  var key = 'typed ' + f.dataset.keep, age = 600000;
  function fields() { return [].filter.call(f.elements, function (x) { return x.name && x.type !== 'hidden' && x.type !== 'file'; }); }
  function keep() {
    try { sessionStorage.setItem(key, JSON.stringify({ at: Date.now(), rows: jarRows().length, all: fields().map(function (x) { return [x.name, x.type === 'checkbox' ? x.checked : x.value]; }) })); } catch (e) { /* a full or closed store keeps nothing */ }
  }
  f.addEventListener('input', keep);
  if (!('fresh' in f.dataset)) return keep();
  var had = null;
  try { had = JSON.parse(sessionStorage.getItem(key)); } catch (e) { had = null; }
  if (!had || Date.now() - had.at > age) return;
  while (jarRows().length && jarRows().length < had.rows) addJar();
  fields().forEach(function (x, i) {
    if (!had.all[i] || had.all[i][0] !== x.name) return;
    if (x.type === 'checkbox') x.checked = had.all[i][1]; else if (x.type !== 'submit') x.value = had.all[i][1];
  });
});
document.querySelectorAll('[data-forget]').forEach(function (a) {
  a.addEventListener('click', function () { try { sessionStorage.removeItem('typed ' + a.dataset.forget); } catch (e) { /* none was kept */ } });
});
