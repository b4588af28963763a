package org.cellherd.fleet;

import org.cellherd.mqtt.link.LinkSettings;

/**
 * How a gatherer works.
 *
 * @param root topic root that all sites share
 * @param link how to reach the broker
 * @param centre where the database is
 */
public record GatherSettings(String root, LinkSettings link, CentreAddress centre) {}
