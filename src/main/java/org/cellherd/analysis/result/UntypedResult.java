package org.cellherd.analysis.result;

import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Result;
import org.cellherd.pack.Facts;

/**
 * A result that is told as facts only.
 *
 * @param name which kind
 * @param facts its parts
 */
record UntypedResult(FindingName name, Facts facts) implements Result {}
