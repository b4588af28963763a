package org.cellherd.app.daemon;

import java.util.List;

/** What the package's start script gives to Java. */
final class StartOptions {

  private static final String BOTH = "-XX:+UseSerialGC -Xss512k -XX:-UsePerfData";

  /** For a verb that answers and ends. */
  static final List<String> VERB =
      words(
          BOTH
              + " -XX:Tier4InvocationThreshold=50000 -XX:Tier4MinInvocationThreshold=6000"
              + " -XX:Tier4CompileThreshold=150000 -XX:Tier4BackEdgeThreshold=400000"
              + " -XX:FreqInlineSize=40");

  /** For the daemon. */
  static final List<String> UNIT = words(BOTH + " -Xms8m -Xmn2m -Xmx24m -XX:TieredStopAtLevel=1");

  private StartOptions() {}

  private static List<String> words(String text) {
    return List.of(text.split(" "));
  }
}
