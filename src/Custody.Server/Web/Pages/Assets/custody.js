// The pages work without this: it only keeps a second press of a button from sending a form twice, and says that something is under way.

document.addEventListener('submit', event => {
  const form = event.target;
  // A form that answers with a file or in another window stays as it is, and may be sent again.
  if (event.defaultPrevented || form.method !== 'post' || 'stays' in form.dataset) return;
  if (form.dataset.sent) {
    event.preventDefault();
    return;
  }
  form.dataset.sent = 'yes';
  // After the browser has read which button was pressed.
  setTimeout(() => {
    for (const button of form.querySelectorAll('button')) button.disabled = true;
  });
});

// A page brought back by the back button is as it was left; its forms may be sent again.
addEventListener('pageshow', event => {
  if (!event.persisted) return;
  for (const form of document.forms) {
    delete form.dataset.sent;
    for (const button of form.querySelectorAll('button')) button.disabled = false;
  }
});
