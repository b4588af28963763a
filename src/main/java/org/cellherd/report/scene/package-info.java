/**
 * A drawing as plain shapes ({@link org.cellherd.report.scene.Drawing}) with three writers: SVG,
 * PNG and PDF. Knows nothing of packs.
 */
@NullMarked
package org.cellherd.report.scene;

import org.jspecify.annotations.NullMarked;
