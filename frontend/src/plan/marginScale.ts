/** The one scale for chance, the same as on paper: five even steps of the open map *cividis*, light for much. */
export const MARGIN_STEPS_DB = [-6, 0, 6, 12] as const;
export const MARGIN_COLOURS = ['#727274', '#928c78', '#b5a86f', '#dac65b', '#fee838'] as const;
export const MARGIN_WORDS = ['unlikely', 'doubtful', 'likely', 'very likely', 'as good as certain'] as const;
