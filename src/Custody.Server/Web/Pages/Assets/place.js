// Places a finding by touching the unrolled bat: the first touch says where it begins, the second where it ends. The fields can be typed into all the same.

const svg = document.querySelector('svg[data-unrolled]');
const form = document.querySelector('form[data-places]');
if (svg && form) {
  const length = Number(svg.dataset.length);
  const girths = svg.dataset.girths.split(' ').map(Number);
  const { width, height } = svg.viewBox.baseVal;
  const margin = 24;
  const scale = (width - 2 * margin) / length;
  const field = name => form.elements[`Finding.${name}`];
  let begun = false;

  svg.classList.add('touchable');
  const ghost = document.createElementNS(svg.namespaceURI, 'g');
  ghost.setAttribute('class', 'ghost');
  svg.append(ghost);

  const girthAt = inches => {
    const at = Math.min(Math.max(inches / length, 0), 1) * (girths.length - 1);
    const i = Math.min(Math.floor(at), girths.length - 2);
    return girths[i] + (girths[i + 1] - girths[i]) * (at - i);
  };
  const dot = (x, y) => {
    const circle = document.createElementNS(svg.namespaceURI, 'circle');
    circle.setAttribute('cx', x);
    circle.setAttribute('cy', y);
    circle.setAttribute('r', 8);
    return circle;
  };

  svg.addEventListener('click', event => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    const inches = Math.min(Math.max((at.x - margin) / scale, 0), length);
    // The round is drawn 1.6 times as wide as the length.
    const degrees = (at.y - height / 2) / (girthAt(inches) * scale * 1.6) * 360;
    if (Math.abs(degrees) > 184) return;
    const angle = String(((Math.round(degrees) % 360) + 360) % 360);
    const place = inches.toFixed(1);
    const shape = field('Shape').value;
    if (!begun || shape === 'Point') {
      ghost.replaceChildren(dot(at.x, at.y));
      field('From').value = place;
      field('FromAngle').value = shape === 'Band' ? '' : angle;
      field('To').value = '';
      field('ToAngle').value = '';
      begun = true;
      return;
    }
    ghost.append(dot(at.x, at.y));
    const first = Number(field('From').value);
    field('From').value = Math.min(first, inches).toFixed(1);
    field('To').value = Math.max(first, inches).toFixed(1);
    if (shape !== 'Band') {
      // Clockwise from the upper touch to the lower one.
      const signed = a => a > 180 ? a - 360 : a;
      const [a, b] = [signed(Number(field('FromAngle').value)), signed(Number(angle))].sort((x, y) => x - y);
      field('FromAngle').value = String((a + 360) % 360);
      field('ToAngle').value = String((b + 360) % 360);
    }
    begun = false;
  });
}
