// How light falls on things, made cheap where a processor draws them: what a picture shows stays the same.

import { THREE } from "nicegui-scene";

const MATT = 0.75; // from this roughness on a surface has no gloss to speak of

/** The material of a part: one without gloss is reckoned without it. */
export function materialFor(roughness, looks) {
  return roughness < MATT
    ? new THREE.MeshStandardMaterial({ roughness, metalness: 0, ...looks })
    : new THREE.MeshLambertMaterial(looks);
}

/**
 * Have shadows asked about only where they can be seen: not on faces turned away from the light, which it does not
 * reach anyway; and, with `hasFewSamples`, around a point only where its corners and its middle disagree.
 */
export function spareShadows(hasFewSamples) {
  const chunks = THREE.ShaderChunk;
  chunks.lights_fragment_begin = chunks.lights_fragment_begin.replace(
    "( directLight.visible && receiveShadow ) ? getShadow( directional",
    "( directLight.visible && receiveShadow && dot( geometryNormal, directLight.direction ) > 0.0 ) ? getShadow( directional");
  if (!hasFewSamples) return;
  const text = chunks.shadowmap_pars_fragment;
  const from = text.indexOf("vec2 texelSize", text.indexOf("SHADOWMAP_TYPE_PCF )"));
  const to = text.indexOf("#elif", from);
  if (from < 0 || text.includes(SAMPLED)) return; // another release's, or ours already
  chunks.shadowmap_pars_fragment = text.slice(0, from) + SAMPLED + text.slice(to);
}

// In loops: a processor first has to translate all that is written out.
const SAMPLED = `
			vec2 reach = shadowRadius / shadowMapSize;
			shadow = texture2DCompare( shadowMap, shadowCoord.xy, shadowCoord.z );
			for ( float x = -1.0; x < 1.5; x += 2.0 )
				for ( float y = -1.0; y < 1.5; y += 2.0 )
					shadow += texture2DCompare( shadowMap, shadowCoord.xy + reach * vec2( x, y ), shadowCoord.z );
			if ( shadow > 0.5 && shadow < 4.5 ) {
				shadow = 0.0;
				for ( float x = -1.0; x < 1.25; x += 0.5 )
					for ( float y = -1.0; y < 1.25; y += 0.5 )
						if ( abs( x ) + abs( y ) != 1.5 )
							shadow += texture2DCompare( shadowMap, shadowCoord.xy + reach * vec2( x, y ), shadowCoord.z );
				shadow /= 17.0;
			} else {
				shadow /= 5.0;
			}
		`;
