package org.cellherd.app.verb;

import java.io.IOException;
import java.io.InputStream;
import java.util.Properties;
import picocli.CommandLine.IVersionProvider;

/** The version that the build wrote into the program. */
final class ProgramVersion implements IVersionProvider {

  @Override
  public String[] getVersion() {
    return new String[] {"cellherd " + text()};
  }

  /** The version number, such as {@code 0.1.0}. */
  public static String text() {
    Properties properties = new Properties();
    try (InputStream in = ProgramVersion.class.getResourceAsStream("/cellherd.properties")) {
      if (in != null) {
        properties.load(in);
      }
    } catch (IOException unreadable) {
      return "unknown";
    }
    return properties.getProperty("version", "unknown");
  }
}
