// The painter for browsers with WebGL2: the overprint computed by a shader from the separate ink planes.

// More inks on one page than this would not fit into every device's constants; such a job is painted plainly.
const SHADER_INKS = 6;
// Where a pixel of the planes is this much of a pixel of the picture or less, its edges are shown.
const SHARP_STEP = 0.53;

class ShaderPainter {
  constructor(canvas) {
    this.canvas = canvas;
    const options = { antialias: false, alpha: true, premultipliedAlpha: true, preserveDrawingBuffer: true };
    this.gl = canvas.getContext("webgl2", options);
    if (!this.gl) throw new Error("no WebGL2");
    this.gl.pixelStorei(this.gl.UNPACK_ALIGNMENT, 1);
    this.gl.pixelStorei(this.gl.UNPACK_COLORSPACE_CONVERSION_WEBGL, this.gl.NONE);
    this.programs = new Map();
  }

  // Pictures of one size, black = full tone, become one texture with a layer for each.
  planes(pictures) {
    const gl = this.gl;
    const [{ width, height }] = pictures;
    const texture = gl.createTexture();
    const levels = Math.floor(Math.log2(Math.max(width, height))) + 1;
    gl.bindTexture(gl.TEXTURE_2D_ARRAY, texture);
    gl.texStorage3D(gl.TEXTURE_2D_ARRAY, levels, gl.R8, width, height, pictures.length);
    pictures.forEach((picture, layer) => {
      gl.texSubImage3D(gl.TEXTURE_2D_ARRAY, 0, 0, 0, layer, width, height, 1, gl.RED, gl.UNSIGNED_BYTE, picture);
      picture.close?.();
    });
    gl.generateMipmap(gl.TEXTURE_2D_ARRAY);
    gl.texParameteri(gl.TEXTURE_2D_ARRAY, gl.TEXTURE_MIN_FILTER, gl.LINEAR_MIPMAP_NEAREST);
    gl.texParameteri(gl.TEXTURE_2D_ARRAY, gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE);
    gl.texParameteri(gl.TEXTURE_2D_ARRAY, gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE);
    return { texture, width, height, bytes: width * height * pictures.length * 1.34 };
  }

  drop(planes) {
    this.gl.deleteTexture(planes.texture);
  }

  clear() {
    const gl = this.gl;
    gl.disable(gl.SCISSOR_TEST);
    gl.viewport(0, 0, this.canvas.width, this.canvas.height);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT);
  }

  // Paints one panel. `area` is [left, bottom, right, top] in pixels from the lower left; each ink says which layer
  // of the planes it is and the map from a pixel to the plane's unit square (v downward). `step` is how many pixels of
  // the planes a pixel of the picture is; `decimate` takes single ones of them, else they are averaged.
  paint({ area, planes, inks, look, gray, warnFrom, step, decimate }) {
    const gl = this.gl;
    const [left, bottom, right, top] = area;
    if (right <= left || top <= bottom) return;
    const program = this.program(inks.length, look.n === 2, gray);
    gl.useProgram(program.program);
    gl.enable(gl.SCISSOR_TEST);
    gl.scissor(left, bottom, right - left, top - bottom);
    gl.uniform3fv(program.roots, look.roots.flat());
    gl.uniformMatrix3fv(program.toSrgb, true, look.toSrgb.flat());
    gl.uniform1f(program.n, look.n);
    gl.uniform1f(program.warnFrom, warnFrom ?? 2);
    if (inks.length) {
      gl.bindTexture(gl.TEXTURE_2D_ARRAY, planes.texture);
      const single = step < SHARP_STEP || decimate;
      gl.texParameteri(gl.TEXTURE_2D_ARRAY, gl.TEXTURE_MAG_FILTER, single ? gl.NEAREST : gl.LINEAR);
      // Half a level finer than by the rule: type stays crisp in pictures that are somewhat smaller than the planes.
      gl.uniform1f(program.level, decimate ? 0 : Math.max(Math.round(Math.log2(step) - 0.5), 0));
      gl.uniform1fv(program.gains, look.gains);
      gl.uniform1fv(program.layers, inks.map((ink) => ink.layer));
      gl.uniform3fv(program.across, inks.flatMap(({ map }) => [map[0], map[2], map[4]]));
      gl.uniform3fv(program.down, inks.flatMap(({ map }) => [map[1], map[3], map[5]]));
    }
    gl.drawArrays(gl.TRIANGLES, 0, 3);
  }

  // Runs some painting on a picture of its own and returns the pixels, as `read` does.
  aside(width, height, work) {
    const gl = this.gl;
    const texture = gl.createTexture();
    const frame = gl.createFramebuffer();
    gl.bindTexture(gl.TEXTURE_2D, texture);
    gl.texStorage2D(gl.TEXTURE_2D, 1, gl.RGBA8, width, height);
    gl.bindFramebuffer(gl.FRAMEBUFFER, frame);
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, texture, 0);
    gl.viewport(0, 0, width, height);
    work();
    const pixels = this.read([0, 0, width, height]);
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    gl.deleteFramebuffer(frame);
    gl.deleteTexture(texture);
    gl.viewport(0, 0, this.canvas.width, this.canvas.height);
    return pixels;
  }

  program(inks, isSquare, gray) {
    const key = `${inks} ${isSquare} ${gray}`;
    if (!this.programs.has(key)) {
      const gl = this.gl;
      const program = gl.createProgram();
      const sources = [[gl.VERTEX_SHADER, VERTEX_SOURCE], [gl.FRAGMENT_SHADER, fragmentSource(inks, isSquare, gray)]];
      sources.forEach(([kind, source]) => {
        const shader = gl.createShader(kind);
        gl.shaderSource(shader, source);
        gl.compileShader(shader);
        gl.attachShader(program, shader);
      });
      gl.linkProgram(program);
      if (!gl.getProgramParameter(program, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(program));
      const names = ["roots", "gains", "layers", "across", "down", "toSrgb", "n", "warnFrom", "level"];
      const places = Object.fromEntries(names.map((name) => [name, gl.getUniformLocation(program, name)]));
      this.programs.set(key, { program, ...places });
    }
    return this.programs.get(key);
  }

  // The pixels of an area, row by row from the bottom, four bytes each; waits until they are painted.
  read([left, bottom, right, top]) {
    const pixels = new Uint8Array((right - left) * (top - bottom) * 4);
    this.gl.readPixels(left, bottom, right - left, top - bottom, this.gl.RGBA, this.gl.UNSIGNED_BYTE, pixels);
    return pixels;
  }
}

const VERTEX_SOURCE = `#version 300 es
void main() {
  gl_Position = vec4(gl_VertexID == 1 ? 3.0 : -1.0, gl_VertexID == 2 ? 3.0 : -1.0, 0.0, 1.0);
}`;

function fragmentSource(inks, isSquare, gray) {
  const tones = Array.from({ length: inks }, (_, ink) => `float t${ink} = tone(${ink});`);
  const result = gray ? `vec3 code = vec3(1.0 - ${inks ? "t0" : "0.0"});` : mixingSource(inks, isSquare);
  const darkest = Array.from({ length: inks }, (_, ink) => `t${ink}`).reduce((a, b) => `max(${a}, ${b})`, "0.0");
  const inkUniforms = `
uniform highp sampler2DArray planes;
uniform float gains[${inks}];
uniform float layers[${inks}];
uniform vec3 across[${inks}];
uniform vec3 down[${inks}];
uniform float level;
float tone(int ink) {
  vec3 pixel = vec3(gl_FragCoord.xy, 1.0);
  vec2 at = vec2(dot(across[ink], pixel), dot(down[ink], pixel));
  vec2 inside = step(vec2(0.0), at) * step(at, vec2(1.0));
  return (1.0 - textureLod(planes, vec3(at, layers[ink]), level).r) * inside.x * inside.y;
}
float covered(float t, float gain) { return clamp(t + 4.0 * gain * t * (1.0 - t), 0.0, 1.0); }`;
  return `#version 300 es
precision highp float;
uniform vec3 roots[${2 ** inks}];
uniform mat3 toSrgb;
uniform float n;
uniform float warnFrom;
out vec4 colour;
${inks ? inkUniforms : ""}
vec3 encoded(vec3 linear) {
  vec3 light = clamp(linear, 0.0, 1.0);
  return mix(1.055 * pow(light, vec3(1.0 / 2.4)) - 0.055, 12.92 * light, lessThanEqual(light, vec3(0.0031308)));
}
void main() {
  ${tones.join("\n  ")}
  ${result}
  if (${darkest} >= warnFrom) {
    float stripe = step(0.5, fract((gl_FragCoord.x + gl_FragCoord.y) / 8.0));
    code = mix(code, mix(vec3(0.91, 0.10, 0.48), vec3(1.0), stripe), 0.62);
  }
  colour = vec4(code, 1.0);
}`;
}

// The nested mixes of the solids' roots, written out: one `mix` a set of inks.
function mixingSource(inks, isSquare) {
  const lines = Array.from({ length: 2 ** inks }, (_, set) => `vec3 m0_${set} = roots[${set}];`);
  for (let ink = 0; ink < inks; ink += 1) {
    lines.push(`float a${ink} = covered(t${ink}, gains[${ink}]);`);
    for (let set = 0; set < 2 ** (inks - 1 - ink); set += 1) {
      lines.push(`vec3 m${ink + 1}_${set} = mix(m${ink}_${2 * set}, m${ink}_${2 * set + 1}, a${ink});`);
    }
  }
  const mixed = `m${inks}_0`;
  lines.push(`vec3 light = ${isSquare ? `${mixed} * ${mixed}` : `pow(max(${mixed}, 0.0), vec3(n))`};`);
  lines.push("vec3 code = encoded(toSrgb * light);");
  return lines.join("\n  ");
}
