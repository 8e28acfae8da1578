// Marks points on a picture by touch, and draws points over pictures. Marks are lines of text that can be typed and mended all the same.

const svgName = 'http://www.w3.org/2000/svg';

const overlay = (figure, points) => {
  const image = figure.querySelector('img');
  if (!image.naturalWidth) return;
  let svg = figure.querySelector('svg');
  if (!svg) {
    svg = document.createElementNS(svgName, 'svg');
    svg.setAttribute('aria-hidden', 'true');
    figure.append(svg);
  }
  svg.setAttribute('viewBox', `0 0 ${image.naturalWidth} ${image.naturalHeight}`);
  const size = image.naturalWidth / 100;
  svg.replaceChildren(...points.flatMap(([x, y], i) => {
    const circle = document.createElementNS(svgName, 'circle');
    const text = document.createElementNS(svgName, 'text');
    for (const [name, value] of [['cx', x], ['cy', y], ['r', size], ['stroke-width', size / 4]]) circle.setAttribute(name, value);
    for (const [name, value] of [['x', x + 1.4 * size], ['y', y], ['font-size', 2.6 * size], ['stroke-width', size / 3]]) text.setAttribute(name, value);
    text.textContent = String(i + 1);
    return [circle, text];
  }));
};

const whenLoaded = (figure, draw) => {
  const image = figure.querySelector('img');
  if (image.complete) draw();
  image.addEventListener('load', draw);
};

for (const figure of document.querySelectorAll('[data-points]')) {
  const points = figure.dataset.points.split(' ').filter(p => p).map(p => p.split(',').map(Number));
  whenLoaded(figure, () => overlay(figure, points));
}

for (const figure of document.querySelectorAll('[data-marks]')) {
  const lines = document.getElementById(figure.dataset.marks);
  const kind = document.querySelector('[data-kind]');
  const image = figure.querySelector('img');
  const draw = () => overlay(figure, lines.value.split('\n').map(l => l.trim().split(/[\s,]+/)).filter(p => p.length === 3).map(p => [Number(p[1]), Number(p[2])]));
  figure.classList.add('touchable');
  figure.addEventListener('click', event => {
    const box = image.getBoundingClientRect();
    const x = Math.round((event.clientX - box.left) / box.width * image.naturalWidth);
    const y = Math.round((event.clientY - box.top) / box.height * image.naturalHeight);
    lines.value = `${lines.value.trimEnd()}\n${kind.value} ${x} ${y}`.trim();
    draw();
  });
  lines.addEventListener('input', draw);
  whenLoaded(figure, draw);
}
