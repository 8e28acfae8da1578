// Passkeys (WebAuthn Level 3). Without them in the browser the page stays as it is: name and password.

const form = document.getElementById('passkey-form');
const says = document.getElementById('passkey-says');

const post = (address, body) => fetch(address, { method: 'POST', body, headers: { RequestVerificationToken: body.get('__RequestVerificationToken') } });

async function ask() {
  const answer = await post(form.dataset.options, new FormData(form));
  if (!answer.ok) throw new Error(`The server did not answer as expected (${answer.status}).`);
  const options = await answer.json();
  return form.dataset.makes === 'yes'
    ? navigator.credentials.create({ publicKey: PublicKeyCredential.parseCreationOptionsFromJSON(options) })
    : navigator.credentials.get({ publicKey: PublicKeyCredential.parseRequestOptionsFromJSON(options) });
}

if (form && globalThis.PublicKeyCredential?.parseRequestOptionsFromJSON) {
  (form.closest('[hidden]') ?? form).hidden = false;
  form.addEventListener('submit', async event => {
    event.preventDefault();
    says.textContent = 'Waiting for your device …';
    try {
      form.elements.credential.value = JSON.stringify(await ask());
      form.submit();
    } catch (fault) {
      says.textContent = fault.name === 'NotAllowedError' ? 'Your device gave no passkey, or you stopped it.' : fault.message;
    }
  });
}
