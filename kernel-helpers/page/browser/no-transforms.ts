/** Stands in for the parts of Vega that no Vega-Lite specification can ask for: trees, forces, word clouds, crossfilters. */
export {};
