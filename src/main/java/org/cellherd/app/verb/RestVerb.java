package org.cellherd.app.verb;

import org.cellherd.analysis.FindingName;
import picocli.CommandLine.Command;

@Command(
    name = "rest",
    mixinStandardHelpOptions = true,
    description = "Long rests and the drift of each cell in them: which one leaks.")
final class RestVerb extends FindingVerb {

  RestVerb() {
    super(FindingName.REST, Told.EACH, "No rest of some days was found in the log.");
  }
}
