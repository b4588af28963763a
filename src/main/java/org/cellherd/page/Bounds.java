package org.cellherd.page;

import java.util.Map;

/**
 * Limits that the JDK's server takes from system properties, once, before its first use. What the
 * owner has set by hand stays.
 */
final class Bounds {

  private static final Map<String, String> PROPERTIES =
      Map.of(
          // A request must be whole after so many seconds: nobody holds a thread by dawdling.
          "sun.net.httpserver.maxReqTime", "10",
          "sun.net.httpserver.idleInterval", "30",
          "sun.net.httpserver.maxIdleConnections", "32",
          "jdk.httpserver.maxConnections", "64",
          "sun.net.httpserver.maxReqHeaders", "60",
          "sun.net.httpserver.maxReqHeaderSize", "16384",
          "sun.net.httpserver.drainAmount", "16384",
          // Small answers go out at once.
          "sun.net.httpserver.nodelay", "true");

  private Bounds() {}

  static void set() {
    PROPERTIES.forEach(
        (name, value) -> {
          if (System.getProperty(name) == null) {
            System.setProperty(name, value);
          }
        });
  }
}
