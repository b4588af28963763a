package org.cellherd.app.verb;

import java.io.IOException;
import java.io.InputStream;
import java.time.ZoneId;
import java.util.Properties;
import org.cellherd.app.SystemTime;
import org.cellherd.report.Made;
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

  /** Says that this program makes something now, for people of a zone. */
  static Made made(ZoneId zone) {
    return new Made(zone, new SystemTime().wallMs(), "cellherd " + text());
  }
}
