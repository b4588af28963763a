/**
 * Does a plan fit together: cells, board, fuse, wire, set-points. Pure arithmetic with a verdict
 * and a sentence each. Entry: {@link org.cellherd.analysis.plan.PlanAudit}.
 */
@NullMarked
package org.cellherd.analysis.plan;

import org.jspecify.annotations.NullMarked;
