// What an eye, a finger and a screen reader need of a page, looked for in the page as the browser
// shows it now. The value is a list of faults in words; an empty one is a good page. The numbers
// in brackets are criteria of the Web Content Accessibility Guidelines 2.2, level AA.
(function () {
  'use strict';
  const faults = [];
  const said = new Set();
  function fault(text) {
    if (said.has(text)) return;
    said.add(text);
    faults.push(text);
  }
  function all(what, within) { return Array.from((within || document).querySelectorAll(what)); }
  function told(element) {
    const id = element.id ? '#' + element.id : '';
    const text = (element.textContent || '').trim().replace(/\s+/g, ' ').slice(0, 40);
    return element.tagName.toLowerCase() + id + " '" + text + "'";
  }
  function shown(element) {
    const style = getComputedStyle(element);
    return style.visibility === 'visible' && element.getClientRects().length > 0;
  }

  // ---- colours ----
  const canvas = document.createElement('canvas').getContext('2d', { willReadFrequently: true });
  const known = new Map();
  function colour(text) {
    if (!known.has(text)) {
      canvas.clearRect(0, 0, 1, 1);
      canvas.fillStyle = text;
      canvas.fillRect(0, 0, 1, 1);
      const bytes = canvas.getImageData(0, 0, 1, 1).data;
      known.set(text, [bytes[0], bytes[1], bytes[2], bytes[3] / 255]);
    }
    return known.get(text);
  }
  function over(top, ground) {
    return [0, 1, 2].map(function (i) { return top[i] * top[3] + ground[i] * (1 - top[3]); })
      .concat([1]);
  }
  function luminance(c) {
    const linear = c.slice(0, 3).map(function (v) {
      return v / 255 <= 0.04045 ? v / 255 / 12.92 : Math.pow((v / 255 + 0.055) / 1.055, 2.4);
    });
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2];
  }
  function contrast(a, b) {
    const one = luminance(a), other = luminance(b);
    return (Math.max(one, other) + 0.05) / (Math.min(one, other) + 0.05);
  }
  function ground(element) {
    const layers = [];
    for (let at = element; at; at = at.parentElement) {
      const c = colour(getComputedStyle(at).backgroundColor);
      layers.push(c);
      if (c[3] === 1) break;
    }
    const start = matchMedia('(prefers-color-scheme: dark)').matches ? [18, 18, 18, 1]
                                                                      : [255, 255, 255, 1];
    return layers.reverse().reduce(function (below, c) { return over(c, below); }, start);
  }

  // ---- words (1.4.3) ----
  function needed(style) {
    const size = parseFloat(style.fontSize);
    const bold = parseInt(style.fontWeight, 10) >= 700;
    return size >= 24 || (bold && size >= 18.66) ? 3 : 4.5;
  }
  function checkWords() {
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const element = node.parentElement;
      if (!node.data.trim() || element.closest('svg, script, style') || !shown(element)) continue;
      const style = getComputedStyle(element);
      const behind = ground(element);
      const ratio = contrast(over(colour(style.color), behind), behind);
      if (ratio < needed(style))
        fault('1.4.3: ' + told(element) + ' has a contrast of ' + ratio.toFixed(2));
      if (parseFloat(style.fontSize) < 13) fault('type under 13 px: ' + told(element));
    }
  }

  // ---- drawings (1.4.3, 1.4.11): every ink against what is painted below it ----
  function inks(svg, paint, white) {
    if (!paint || paint === 'none') return [];
    const link = /^url\("?#([^")]+)"?\)/.exec(paint);
    if (!link) return [over(colour(paint), white)];
    const pattern = document.getElementById(link[1]);
    if (!pattern) { fault('paint leads nowhere: ' + paint); return []; }
    return all('*', pattern).flatMap(function (part) {
      const style = getComputedStyle(part);
      return inks(svg, style.fill, white).concat(
        style.stroke !== 'none' ? inks(svg, style.stroke, white) : []);
    });
  }
  function isGround(item, next) {
    if (!next || next.part.tagName !== 'text') return false;
    const x = next.box.left + next.box.width / 2, y = next.box.top + next.box.height / 2;
    return item.box.left <= x && item.box.right >= x && item.box.top <= y && item.box.bottom >= y;
  }
  function checkDrawing(svg) {
    const white = ground(svg);
    const painted = all('rect, path, circle, polygon, ellipse, text, line, polyline', svg)
      .filter(function (part) { return !part.closest('defs'); })
      .map(function (part) {
        return { part: part, box: part.getBoundingClientRect(), style: getComputedStyle(part) };
      });
    painted.forEach(function (item, index) {
      if (item.part.tagName !== 'text' || !item.part.textContent.trim()) return;
      const x = item.box.left + item.box.width / 2, y = item.box.top + item.box.height / 2;
      let below = [white];
      for (let i = 0; i < index; i++) {
        const other = painted[i];
        const covers = other.part.tagName === 'rect' && other.style.fill !== 'none' &&
          other.box.left <= x && other.box.right >= x && other.box.top <= y && other.box.bottom >= y;
        if (covers) below = inks(svg, other.style.fill, white);
      }
      below.forEach(function (behind) {
        const ratio = contrast(over(colour(item.style.fill), behind), behind);
        if (ratio < 4.5)
          fault('1.4.3: words of a drawing ' + told(item.part) + ' have a contrast of ' +
                ratio.toFixed(2));
      });
    });
    // Bands and grids only help the eye: what they say is said in words. Nor is the ground of
    // words a mark.
    painted.forEach(function (item, index) {
      if (item.part.tagName === 'text' || item.part.closest('[id$=plateaus], [id$=grid]')) return;
      if (item.style.stroke === 'none' && isGround(item, painted[index + 1])) return;
      const outline = item.style.stroke;
      const marks = outline !== 'none' ? inks(svg, outline, white) : inks(svg, item.style.fill, white);
      const best = Math.max.apply(null, marks.map(function (ink) { return contrast(ink, white); }));
      if (marks.length > 0 && best < 3 && luminance(marks[0]) < 0.99)
        fault('1.4.11: ' + (item.part.closest('g[id]') || svg).id.replace(/^d\d+-/, '') +
              ' is drawn at a contrast of ' + best.toFixed(2));
    });
  }

  // Of two drawings of one thing the slim one is there to be read as it is.
  function checkSlim(figure) {
    all('svg text', figure).forEach(function (text) {
      const size = parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().a;
      if (text.getScreenCTM().b === 0 && size < 8.5)
        fault('type of ' + size.toFixed(1) + ' px in a drawing: ' + told(text));
    });
  }

  // ---- controls ----
  function checkControls() {
    all('a[href], button, input, summary, [tabindex]').filter(shown).forEach(function (element) {
      const target = element.closest('label') || element;
      const box = target.getBoundingClientRect();
      const inSentence = element.tagName === 'A' && element.parentElement.tagName === 'P' &&
        element.parentElement.textContent.trim() !== element.textContent.trim();
      if (!inSentence && (box.width < 24 || box.height < 24) && !element.closest('.skip'))
        fault('2.5.8: ' + told(element) + ' is ' + box.width.toFixed() + ' x ' +
              box.height.toFixed() + ' px');
      if (element.tabIndex > 0) fault('2.4.3: ' + told(element) + ' jumps the order');
      if (element.tagName === 'BUTTON') {
        const behind = ground(element.parentElement);
        const edge = contrast(over(colour(getComputedStyle(element).borderTopColor), behind), behind);
        if (edge < 3) fault('1.4.11: edge of ' + told(element) + ' at ' + edge.toFixed(2));
      }
      checkFocus(element);
    });
  }
  // Seen when it has the focus (2.4.7, 1.4.11) and not under the strip at the foot (2.4.11).
  function checkFocus(element) {
    element.focus({ focusVisible: true });
    if (document.activeElement !== element) { fault('2.1.1: no focus for ' + told(element)); return; }
    const style = getComputedStyle(element);
    if (style.outlineStyle === 'none' || parseFloat(style.outlineWidth) < 2)
      fault('2.4.7: focus of ' + told(element) + ' is not seen');
    const behind = ground(element.parentElement);
    const ratio = contrast(over(colour(style.outlineColor), behind), behind);
    if (ratio < 3) fault('1.4.11: focus of ' + told(element) + ' at ' + ratio.toFixed(2));
    const strip = document.getElementById('progress');
    const box = element.getBoundingClientRect();
    if (strip && shown(strip) && !strip.contains(element) && box.height < innerHeight / 2 &&
        (box.top >= strip.getBoundingClientRect().top || box.bottom < 0 || box.top > innerHeight))
      fault('2.4.11: ' + told(element) + ' has the focus and is covered');
  }

  // ---- structure (1.3.1, 2.4.1, 2.4.2, 3.1.1, 4.1.2) ----
  function checkStructure() {
    if (!document.documentElement.lang) fault('3.1.1: no language');
    if (!document.title.trim()) fault('2.4.2: no title');
    const viewport = document.querySelector('meta[name=viewport]').content;
    if (/user-scalable|maximum-scale/.test(viewport)) fault('1.4.4: the page cannot be enlarged');
    if (all('main').length !== 1 || all('h1').length !== 1) fault('1.3.1: not one main, one h1');
    let level = 0;
    all('h1, h2, h3, h4, h5, h6').filter(shown).forEach(function (heading) {
      const rank = +heading.tagName.slice(1);
      if (rank > level + 1) fault('1.3.1: ' + told(heading) + ' leaves out a rank');
      level = rank;
    });
    Array.from(document.body.children).forEach(function (child) {
      if (!child.matches('.skip, header, nav, main, aside, footer, script'))
        fault('1.3.1: ' + told(child) + ' is in no landmark');
    });
    all('nav, aside, section').forEach(function (part) {
      if (!part.getAttribute('aria-label') && !part.getAttribute('aria-labelledby'))
        fault('1.3.1: a landmark without a name: ' + told(part));
    });
    all('[aria-labelledby], [aria-describedby], label[for]').forEach(function (element) {
      ['aria-labelledby', 'aria-describedby', 'for'].forEach(function (name) {
        (element.getAttribute(name) || '').split(/\s+/).filter(Boolean).forEach(function (id) {
          if (!document.getElementById(id)) fault('4.1.2: ' + name + ' leads nowhere: ' + id);
        });
      });
    });
    all('svg').forEach(function (svg) {
      if (svg.getAttribute('role') !== 'img' || !svg.querySelector('title'))
        fault('1.1.1: a drawing without its words');
    });
    all('ul, ol').forEach(function (list) {
      if (Array.from(list.children).some(function (item) { return item.tagName !== 'LI'; }))
        fault('1.3.1: a list of other things than items');
    });
    all('a[href^="#"]').forEach(function (link) {
      if (link.id !== 'next' && !document.getElementById(link.getAttribute('href').slice(1)))
        fault('2.4.4: a link leads nowhere: ' + told(link));
    });
  }

  // ---- room (1.4.10, 1.4.12) and rest (2.3.3) ----
  function checkRoom(when) {
    const width = document.documentElement.clientWidth;
    if (document.documentElement.scrollWidth > width)
      fault('1.4.10: ' + when + ' the page is ' + document.documentElement.scrollWidth + ' of ' +
            width + ' px wide');
    all('body *').filter(shown).forEach(function (element) {
      if (element.closest('svg, .skip')) return;
      if (element.getBoundingClientRect().right > width + 1)
        fault('1.4.10: ' + when + ' ' + told(element) + ' reaches beyond the page');
      const style = getComputedStyle(element);
      if (style.overflowX === 'hidden' && element.scrollWidth > element.clientWidth + 1 &&
          !element.matches('.larger'))
        fault('1.4.10: ' + when + ' ' + told(element) + ' is cut off');
    });
  }
  // Words that stand one or two letters to a line.
  function checkSqueezed() {
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const element = node.parentElement;
      const letters = node.data.trim().length;
      if (letters < 8 || element.closest('svg, script, style, .skip') || !shown(element)) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      if (range.getClientRects().length > letters / 3)
        fault('1.4.10: ' + told(element) + ' is squeezed');
    }
  }
  function checkSpacing() {
    const style = document.createElement('style');
    style.textContent = '* { line-height: 1.5 !important; letter-spacing: 0.12em !important; ' +
      'word-spacing: 0.16em !important } p { margin-bottom: 2em !important }';
    document.head.appendChild(style);
    checkRoom('with wide spacing');
    style.remove();
  }
  function checkRest() {
    if (document.getAnimations().length > 0) fault('2.3.3: something moves');
    all('body *').forEach(function (element) {
      const style = getComputedStyle(element);
      if (style.transitionDuration !== '0s' || style.animationName !== 'none')
        fault('2.3.3: ' + told(element) + ' moves');
    });
    if (getComputedStyle(document.documentElement).scrollBehavior !== 'auto')
      fault('2.3.3: the page glides');
  }

  checkWords();
  all('svg').filter(shown).forEach(checkDrawing);
  all('.slim').filter(shown).forEach(checkSlim);
  checkControls();
  checkStructure();
  checkRoom('now');
  checkSqueezed();
  checkSpacing();
  checkRest();
  scrollTo(0, 0);
  return faults;
}());
